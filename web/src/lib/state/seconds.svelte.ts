// The server's clock for ages and elapsed time, which need no more than seconds.

export class ServerSeconds {
  now = $state(0);

  set(ms: number): void {
    this.now = Math.round(ms);
  }
}
