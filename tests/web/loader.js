// Node finds the browser files as the pages do: by bare names, all of them modules.
import {existsSync} from "node:fs";

const FOLDER = new URL("../../pneusim/show/web/", import.meta.url);

export async function resolve(specifier, context, next) {
  const name = specifier.endsWith(".js") ? specifier : `${specifier}.js`;
  const bare = /^[\w-]+\.js$/.test(name) && new URL(name, FOLDER);
  const found = bare && existsSync(bare) ? {url: bare.href} : await next(specifier, context);
  return found.url.startsWith(FOLDER.href) ? {...found, format: "module", shortCircuit: true} : found;
}
