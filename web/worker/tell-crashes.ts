interface Scope {
  addEventListener(kind: 'unhandledrejection', listener: (event: PromiseRejectionEvent) => void): void;
}

/**
 * A promise that fails unheard is a bug of ours, and a browser keeps it to the worker. Thrown anew outside any promise it is the
 * worker's error event, which the page hears (client.ts) and tells the person.
 */
export function tellCrashes(scope: Scope): void {
  scope.addEventListener('unhandledrejection', (event) => {
    setTimeout(() => {
      throw event.reason;
    });
  });
}
