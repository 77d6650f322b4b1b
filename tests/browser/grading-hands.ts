import type { Locator, Page } from 'playwright-core';

/** How a listener grades by the page alone: with a thumb, or with keys. */

/** Hears each sample for long enough where the page plays. */
export async function hearAll(page: Page): Promise<void> {
  const player = page.locator('[data-player]');
  if ((await player.count()) === 0) return;
  const cards = await page.locator('[data-card]').all();
  await page.locator('[data-player]:not([data-state="loading"]) [data-play]:not(:disabled)').waitFor();
  if (cards.length === 0) {
    await page.locator('[data-play]').click();
    await page.waitForFunction(() => !document.querySelector('[data-unheard]'));
    return;
  }
  for (const card of cards) {
    if ((await card.getAttribute('aria-pressed')) !== 'true') await card.click();
    await card.locator('.enough:not(:empty)').waitFor();
  }
}

/** Answers every scale that shows: the second place from the end, a place on a line, the first word. */
export async function gradeShown(page: Page, share = 0.7): Promise<void> {
  for (const scale of await page.locator('.grading .scale:visible').all()) await gradeOne(scale, share);
}

async function gradeOne(scale: Locator, share: number): Promise<void> {
  const track = scale.locator('[data-track]');
  if ((await track.count()) > 0) {
    const box = await track.boundingBox();
    await track.click({ position: { x: (box?.width ?? 0) * share, y: 20 } });
  } else if ((await scale.locator('.point').count()) > 0) await scale.locator('.point').nth(-2).click();
  else await scale.locator('.choice').first().click();
}

/** The whole place: all of its pages, what plays, and the button in the end. */
export async function gradeByThumb(page: Page): Promise<void> {
  for (;;) {
    await gradeShown(page);
    const next = page.locator('[data-next]:visible');
    if ((await next.count()) === 0) break;
    await next.click();
  }
  await hearAll(page);
  await page.locator('.grading .confirm').click({ timeout: 2_000 });
}
