// What gets printed: every file with what it is for, and its pages to look through.

import { html, useEffect, useRef, useState } from '../vendor/preact.js';
import { url } from '../engine.js';
import { useAnswer } from './answers.js';

/** @type {Record<string, {title: string, what: string}>} */
const files = {
  'placement.pdf': { title: 'Marking guide', what: 'The skirt at true size. Lay it under the net and mark every place through it.' },
  'marking.pdf': { title: 'Marking card', what: 'Each place as two lengths to measure, if you would rather not lay paper under the net.' },
  'templates.pdf': { title: 'Templates', what: 'Every outline at true size, to cut out and draw round.' },
  'lay.pdf': { title: 'Where to cut', what: 'Each sheet of felt with its cutouts in place, so that they all fit.' },
  'cloth.pdf': { title: 'Cutting the cloth', what: 'How the panels lie on net and lining.' },
};

/** Files that are not to be printed, while the page is open: the card replaces the guide. @type {Set<string>} */
const unwanted = new Set(['marking.pdf']);

/** @param {{store: any}} p */
export function Pages({ store: { sum } }) {
  const { value: papers, failed } = useAnswer('pages', sum?.rev);
  const [, again] = useState(0);
  const [large, enlarge] = useState(/** @type {{paper: any, page: number} | null} */ (null));
  if (!papers) return html`<p class="cap wait" id="cap">${failed || 'Drawing the pages …'}</p>`;
  const tick = (/** @type {string} */ name, /** @type {boolean} */ on) => {
    if (on) unwanted.delete(name);
    else unwanted.add(name);
    again(n => n + 1);
  };
  return html`
    <div class="doc pages" tabindex="0" role="region" aria-label="Pages to print">
      <p class="lede"><b>Print at 100 %, “actual size”.</b> Then measure the bar on the first page; if it is not as long as it says, the printer has scaled the page.</p>
      <${Print} papers=${papers.filter((/** @type {any} */ p) => !unwanted.has(p.name))} all=${countOf(papers)} />
      ${papers.map((/** @type {any} */ p) => html`
        <${File} key=${p.name} paper=${p} rev=${sum.rev} wanted=${!unwanted.has(p.name)} tick=${tick} open=${(/** @type {number} */ page) => enlarge({ paper: p, page })} />`)}
    </div>
    ${large && html`<${Large} paper=${large.paper} page=${large.page} rev=${sum.rev} turn=${(/** @type {number} */ page) => enlarge({ ...large, page })} close=${() => enlarge(null)} />`}`;
}

const titleOf = (/** @type {any} */ paper) => files[paper.name]?.title ?? paper.title;
const pagesOf = (/** @type {number} */ n) => n === 1 ? '1 page' : `${n} pages`;

/** The addresses of whole files. @param {any[]} papers */
function useAddresses(papers) {
  const [list, set] = useState(/** @type {string[]} */ ([]));
  useEffect(() => { Promise.all(papers.map(p => url('result', { name: p.name }))).then(set); }, [papers.map(p => p.name).join()]);
  return list;
}

/** How many pages papers have. @param {any[]} papers */
const countOf = papers => papers.reduce((sum, p) => sum + p.sizes.length, 0);

/** @param {{papers: any[], all: number}} p papers: what is wanted; all: how many pages there are */
function Print({ papers, all }) {
  const addresses = useAddresses(papers);
  const [kept, keep] = useState(false);
  const n = countOf(papers);
  const open = () => keep(addresses.map(a => window.open(a, '_blank')).some(w => !w));
  return html`
    <p class="row"><button type="button" class="go first" disabled=${n === 0} onClick=${open}>Print ${n === 0 ? 'nothing yet' : `${pagesOf(n)} …`}</button>
      <span class="soft">${[n < all && `of ${all}: what is ticked`, papers.length > 1 && `${papers.length} documents, each in a tab of its own`].filter(Boolean).join('; ')}</span></p>
    ${kept && html`<p class="warn" role="alert">Your browser held some of the documents back. Open each below by its “open”.</p>`}`;
}

/** @param {any} p */
function File({ paper, rev, wanted, tick, open }) {
  const [address] = useAddresses([paper]), title = titleOf(paper), n = paper.sizes.length;
  return html`
    <section class="file">
      <label class="tick"><input type="checkbox" checked=${wanted} onChange=${(/** @type {any} */ e) => tick(paper.name, e.target.checked)} /><span class="vh">Print ${title}</span></label>
      <h2>${title}</h2>
      <p class="cnt">${pagesOf(n)}, <a class="word" href=${address} target="_blank" rel="noopener">open<span class="vh"> ${title}</span></a></p>
      <p class="what">${files[paper.name]?.what}</p>
      <ul class="thumbs">${paper.sizes.map((/** @type {number[]} */ size, /** @type {number} */ i) => html`
        <li key=${i}><button type="button" aria-label=${`${title}, page ${i + 1}: look closer`} onClick=${() => open(i + 1)}><${Page} file=${paper.name} page=${i + 1} size=${size} rev=${rev} tall=${112} /><span aria-hidden="true">${i + 1}</span></button></li>`)}
      </ul>
    </section>`;
}

/** How far outside the screen a page is fetched, so that it is there when it comes into sight. */
const ahead = '300px';

/** A page as it prints, fetched when it comes into sight. @param {{file: string, page: number, size: number[], rev: number, tall?: number}} p */
function Page({ file, page, size: [w, h], rev, tall }) {
  const holder = useRef(null), [src, set] = useState('');
  useEffect(() => {
    let gone = false;
    const seen = new IntersectionObserver(([e]) => {
      if (!e.isIntersecting) return;
      seen.disconnect();
      url('pageof', { file, page, rev }).then(a => gone || set(a)); // rev: another address once the plan changed
    }, { rootMargin: ahead });
    seen.observe(holder.current);
    return () => { gone = true; seen.disconnect(); };
  }, [file, page, rev]);
  return html`<span ref=${holder} class="paper" style=${tall ? { height: `${tall}px`, width: `${(tall * w / h).toFixed(1)}px` } : { aspectRatio: `${w} / ${h}` }}>${src && html`<img src=${src} alt="" />`}</span>`;
}

/** One page enlarged, on a slip of its own. @param {any} p */
function Large({ paper, page, rev, turn, close }) {
  const slip = useRef(null), n = paper.sizes.length, title = `${titleOf(paper)}, page ${page} of ${n}`;
  useEffect(() => { slip.current.showModal(); }, []);
  const keys = (/** @type {KeyboardEvent} */ e) => {
    if (e.key === 'ArrowLeft' && page > 1) turn(page - 1);
    if (e.key === 'ArrowRight' && page < n) turn(page + 1);
  };
  return html`
    <dialog ref=${slip} class="large" aria-label=${title} onClose=${close} onKeyDown=${keys}>
      <p class="row"><b aria-live="polite">${title}</b>
        <button type="button" class="word" disabled=${page === 1} onClick=${() => turn(page - 1)}>page before</button>
        <button type="button" class="word" disabled=${page === n} onClick=${() => turn(page + 1)}>next page</button>
        <button type="button" class="word" onClick=${() => slip.current.close()}>Done</button></p>
      <div class="sheetview" tabindex="0" role="img" aria-label=${title}><${Page} file=${paper.name} page=${page} size=${paper.sizes[page - 1]} rev=${rev} /></div>
    </dialog>`;
}
