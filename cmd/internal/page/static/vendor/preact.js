// The one door to the vendored libraries: components, hooks and the html tag.
import { h, render, Fragment, createContext } from './preact-core.js';
import { useState, useEffect, useRef, useMemo, useCallback, useContext, useLayoutEffect } from './hooks.js';
import htm from './htm.js';

/**
 * Makes a tree of components from a template: html`<p class="x">${words}</p>`.
 * @type {(parts: TemplateStringsArray, ...values: any[]) => any}
 */
export const html = htm.bind(h);

export {
  h, render, Fragment, createContext,
  useState, useEffect, useRef, useMemo, useCallback, useContext, useLayoutEffect,
};
