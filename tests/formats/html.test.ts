import { expect, test } from 'vitest';
import { Html, escapeHtml, html, jsonForScript } from '../../src/formats/html.js';

/** Text that tries to become markup. Source: OWASP XSS prevention, the five significant characters. */
const HOSTILE = `</script><img src=x onerror="alert('1')">&amp;`;

test('text in a template is escaped, between tags and in attributes', () => {
  const { markup } = html`<p title="${HOSTILE}">${HOSTILE}</p>`;
  expect(markup).not.toMatch(/<img|<\/script|="alert|'1'/);
  expect(markup.match(/&lt;img/g)).toHaveLength(2);
  expect(markup).toContain('&amp;amp;');
});

test('markup of another template is not escaped again', () => {
  const items = ['a', '<'].map(item => html`<li>${item}</li>`);
  expect(
    html`<ul>
      ${items}
    </ul>`.markup,
  ).toMatch(/^<ul>\s*<li>a<\/li><li>&lt;<\/li>\s*<\/ul>$/);
  expect(html`${new Html('<br>')}${undefined}${7}`.markup).toBe('<br>7');
});

test('control characters become spaces; line ends and tabs stay', () => {
  expect(escapeHtml('a\u0000b\u0008c\u009fd\ne\tf')).toBe('a b c d\ne\tf');
});

test('data for a script cannot end the script and reads back as it was', () => {
  const data = { text: `${HOSTILE}<!--\u2028\u2029` };
  const { markup } = jsonForScript(data);
  expect(markup).not.toMatch(/[<>&\u2028\u2029]/);
  expect(JSON.parse(markup)).toEqual(data);
});
