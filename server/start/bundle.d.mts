/** Bundles the commands and answers with the file to import. */
export function bundleServer(): Promise<string>;

/** Bundles scripts and styles of the pages and answers with the folder they lie in: phone.js, desk.js, page.js, phone.css, page.css. */
export function bundleClient(): Promise<string>;
