// The program under test: built, started with a folder of its own, killed.

import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { once } from 'node:events';
import { createInterface } from 'node:readline';

export const root = new URL('../../../', import.meta.url).pathname;
export const lemons = join(root, 'examples/lemons/photo.jpg');

export class Gapshade {
  constructor() {
    this.home = mkdtempSync(join(tmpdir(), 'gapshade-walk-'));
    this.binary = join(this.home, 'gapshade');
    execFileSync('go', ['build', '-o', this.binary, './cmd/gapshade'], { cwd: root });
    this.port = 0;
  }

  // start gives the address that the program prints; a later start keeps its port.
  async start() {
    const env = { ...process.env, HOME: this.home, XDG_DATA_HOME: join(this.home, 'data') };
    this.process = spawn(this.binary, ['page', '--no-browser', '--port', String(this.port)], { env, stdio: ['ignore', 'pipe', 'inherit'] });
    this.gone = once(this.process, 'exit');
    const [line] = await Promise.race([once(createInterface(this.process.stdout), 'line'), this.gone.then(() => { throw new Error('gapshade page ended at once'); })]);
    this.address = line;
    this.port = Number(new URL(line).port);
    return line;
  }

  // kill ends it without a chance to tidy up, as when the power fails.
  async kill() {
    this.process.kill('SIGKILL');
    await this.gone;
  }

  async done() {
    if (this.process && this.process.exitCode === null && this.process.signalCode === null) await this.kill();
    rmSync(this.home, { recursive: true, force: true });
  }
}
