/** A browser without a network of its own, and results made by the built program as a user makes them. */
import { execFileSync } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { chromium } from 'playwright-core';

const PROGRAM = resolve('dist/run/alight.js');
const BROWSER = process.env.ALIGHT_BROWSER ?? '/usr/bin/chromium';
const FLAGS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** Runs the program in a folder; throws when it fails. */
export function alight(folder, ...args) {
  return execFileSync(process.execPath, [PROGRAM, ...args], {
    cwd: folder,
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'pipe'],
    maxBuffer: 1 << 28,
  });
}

/** A folder with the demo study. */
export function studyFolder() {
  const folder = mkdtempSync(join(tmpdir(), 'alight-browser-'));
  for (const name of ['thistledown.yaml', 'thistledown-ascent.csv', 'thistledown-landing.csv'])
    cpSync(resolve('studies', name), join(folder, name));
  return { folder, remove: () => rmSync(folder, { recursive: true, force: true }) };
}

export function launch() {
  return chromium.launch({ executablePath: BROWSER, args: FLAGS });
}

/** Opens a file; what the page complains of and asks for is kept. */
export async function open(browser, file, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options });
  const page = await context.newPage();
  const complaints = [];
  const requests = [];
  page.on('console', (message) => complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('request', (request) => requests.push(request.url()));
  await page.goto(`file://${file}`);
  return { page, complaints, requests, close: () => context.close() };
}
