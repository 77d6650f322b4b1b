import type { Page } from 'playwright-core';

/** What can't be read in the pictures of a page as it is shown: words cut off, too small, or on one another. */
export const pictureFaults = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const least = 11;
    const faults: string[] = [];
    for (const picture of document.querySelectorAll('svg[role="img"]')) {
      if (!picture.checkVisibility()) continue;
      const frame = picture.getBoundingClientRect();
      const drawn = (picture as SVGSVGElement).viewBox.baseVal?.width || frame.width;
      const words = [...picture.querySelectorAll('text')]
        .filter((text) => text.checkVisibility() && text.textContent?.trim())
        .map((text) => ({ said: `“${text.textContent}”`, text, box: text.getBoundingClientRect() }));
      for (const [i, { said, text, box }] of words.entries()) {
        const size = (Number.parseFloat(getComputedStyle(text).fontSize) * frame.width) / drawn;
        if (size < least - 0.05) faults.push(`${said} is ${size.toFixed(1)} px high`);
        const beyond = Math.max(
          frame.left - box.left,
          box.right - frame.right,
          frame.top - box.top,
          box.bottom - frame.bottom,
        );
        if (beyond > 1.5) faults.push(`${said} is cut off by ${beyond.toFixed(0)} px`);
        for (const other of words.slice(i + 1)) {
          const across = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left);
          // Lines of type are higher than the letters in them.
          const down = Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top);
          if (across > 1.5 && down > 5) faults.push(`${said} and ${other.said} stand on one another`);
        }
      }
    }
    return faults;
  });
