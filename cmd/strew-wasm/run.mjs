// Plans a project with the WebAssembly engine in Node and writes its results:
//   node run.mjs STREW.wasm WASM_EXEC.js OUTDIR [PROJECT.toml OUTLINE...]
// Without a project it plans the built-in example. An error is printed as the
// maker reads it, and the exit status is then 1.
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const [wasm, support, out, project = "", ...outlines] = process.argv.slice(2);
(0, eval)(readFileSync(support, "utf8")); // defines globalThis.Go
const go = new globalThis.Go();
const { instance } = await WebAssembly.instantiate(readFileSync(wasm), go.importObject);
go.run(instance);

try {
  const files = {};
  for (const name of [project, ...outlines]) {
    if (name) files[name] = new Uint8Array(readFileSync(name));
  }
  const results = await globalThis.strewPlan(files, project);
  mkdirSync(out, { recursive: true });
  for (const [name, data] of Object.entries(results)) writeFileSync(join(out, name), data);
} catch (error) {
  console.error(error.message);
  process.exit(1);
}
process.exit(0);
