declare const __APP_VERSION__: string;

/** Set by the build from package.json; every record carries it. */
export const APP_VERSION: string = __APP_VERSION__;
