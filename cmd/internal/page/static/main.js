// Starts the page.

import { html, render } from './vendor/preact.js';
import { call } from './engine.js';
import { finished, start } from './store.js';
import { Board } from './view/board.js';
import { List } from './view/list.js';
import { Picture } from './view/picture.js';
import { Worn } from './view/worn.js';
import { App } from './words/app.js';

const others = { worn: Worn, list: List, board: Board };

start();
render(html`<${App} picture=${Picture} others=${others} />`, /** @type {HTMLElement} */ (document.getElementById('app')));

/** For those who drive the page from outside. */
Object.assign(window, {
  strew: {
    /** The whole plan of what is shown, once it is done. */
    async plan() {
      await finished();
      return JSON.parse(await (await call('result', { name: 'plan.json' })).text());
    },
  },
});
