import { render } from 'preact';
import { App } from './app/app';
import { listen } from './app/router';
import { boot } from './app/state';
import { registerWorker } from './app/version';

const root = document.getElementById('app');
if (root) {
  listen();
  render(<App />, root);
  void boot();
  registerWorker();
}
