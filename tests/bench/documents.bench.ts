/**
 * What the words of a kit cost: the aim is a guide in less than half a second. Each run is a whole
 * document, fonts read anew, as for every kit.
 */
import { bench, describe } from 'vitest';
import { renderPictureCard } from '../../src/kit/paper/picture-card.js';
import { renderStaffCard } from '../../src/kit/paper/staff-card.js';
import { renderGuide } from '../../src/kit/paper/guide.js';
import { renderPage } from '../../src/kit/screens/page.js';
import { LANGUAGES } from '../../src/protocol/study-file.js';
import { sampleContent, sampleFonts, samplePageParts, sampleTexts } from '../helpers/sample-kit.js';

const parts = samplePageParts();

for (const language of LANGUAGES) {
  const content = sampleContent({ language });
  const texts = sampleTexts(language);
  describe(`documents in ${language}`, () => {
    bench('the guide', async () => {
      await renderGuide(content, texts, sampleFonts);
    });
    bench('the page', () => {
      renderPage(content, texts, parts);
    });
    bench('the card for staff', async () => {
      await renderStaffCard(content, texts, sampleFonts);
    });
    bench('the card of pictures', async () => {
      await renderPictureCard(content, texts, sampleFonts);
    });
  });
}
