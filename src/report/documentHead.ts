/** How every page of ours begins, up to its body: nothing in it may be loaded from anywhere. Knows not what follows. */
import { PAGE_MARK } from '../results/mark.ts';
import { escaped } from './markup.ts';
import { PAGE_STYLE } from './pageStyle.ts';

/** @param style beside the page's own   @param scripts whether one stands in the page */
export function documentHead(
  title: string,
  { style = '', scripts = false }: { readonly style?: string; readonly scripts?: boolean } = {},
): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
${PAGE_MARK}
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'${scripts ? "; script-src 'unsafe-inline'" : ''}">
<title>${escaped(title)}</title>
<style>${PAGE_STYLE}${style}</style>
</head>
`;
}
