/** Shows a file with whatever the platform opens files with. */
import { spawn } from 'node:child_process';
import { resolve } from 'node:path';

/** @returns a line saying that it could not be opened, or null */
export function openFile(path: string): Promise<string | null> {
  const whole = resolve(path);
  const [program, ...args] =
    process.platform === 'darwin' ? ['open', whole] : process.platform === 'win32' ? ['explorer.exe', whole] : ['xdg-open', whole];
  return new Promise((done) => {
    const child = spawn(program, args, { detached: true, stdio: 'ignore' });
    child.once('error', () => done(`${program} is not there to open ${path}; open it yourself`));
    child.once('spawn', () => {
      child.unref();
      done(null);
    });
  });
}
