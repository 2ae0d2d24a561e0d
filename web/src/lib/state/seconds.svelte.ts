// The server's clock, for ages and elapsed times that need no more than whole seconds.

export class ServerSeconds {
  now = $state(0);

  set(ms: number): void {
    this.now = Math.round(ms);
  }
}
