import { render } from 'preact';
import { unpackedFiles } from './state/sample.js';
import { Store } from './state/store.js';
import { App } from './view/App.js';

const store = new Store(document.getElementById('worker')!.textContent ?? '');
const sample = (): void => void unpackedFiles(document.getElementById('sample')!.textContent ?? '').then((files) => store.addFiles(files));

render(<App store={store} sample={sample} />, document.getElementById('app')!);
void store.restore();

for (const name of ['dragenter', 'dragover'] as const)
  addEventListener(name, (event) => {
    event.preventDefault();
    document.body.classList.add('dropping');
  });
addEventListener('dragleave', (event) => {
  if (event.relatedTarget === null) document.body.classList.remove('dropping');
});
addEventListener('drop', (event) => {
  event.preventDefault();
  document.body.classList.remove('dropping');
  void store.addFiles([...(event.dataTransfer?.files ?? [])]);
});
