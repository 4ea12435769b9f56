// The styles of the parts that come after the first load.
let loading: Promise<void> | null = null;

export function deskLook(): Promise<void> {
  loading ??= new Promise((resolve) => {
    const link = document.createElement('link');
    link.rel = 'stylesheet';
    link.href = document.querySelector<HTMLMetaElement>('meta[name="desk-style"]')?.content ?? '';
    link.onload = () => resolve();
    link.onerror = () => resolve(); // unstyled is better than not at all
    document.head.append(link);
  });
  return loading;
}
