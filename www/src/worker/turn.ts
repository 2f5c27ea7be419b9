/**
 * Lets in the messages that wait for the worker. Work that always finds its bytes at hand would
 * otherwise hear nothing until it is done, not even that it should stop.
 */
export function turn(): Promise<void> {
  return new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      done();
    };
    port2.postMessage(null);
  });
}
