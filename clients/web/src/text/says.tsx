import { Fragment } from 'preact';
import { parts } from './t';

/** A sentence whose **stressed** words are bold. */
export function Says({ text }: { text: string }) {
  return (
    <>
      {parts(text).map((piece, index) =>
        // biome-ignore lint/suspicious/noArrayIndexKey: pieces of one sentence have no other name
        piece.strong ? <strong key={index}>{piece.text}</strong> : <Fragment key={index}>{piece.text}</Fragment>,
      )}
    </>
  );
}
