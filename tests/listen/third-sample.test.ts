import { afterAll, expect, test } from 'vitest';
import type { Plan } from '../../shared/plan';
import { ledgerIn, removeFolders } from '../support/driver';
import { panelHouse } from '../support/panel-house';

/** A trial of ABX over real HTTP and sockets: two samples, both back, then the third by itself. */

afterAll(removeFolders);

async function seated(handling: Plan['handling']) {
  const { house, desk, study, come } = await panelHouse({ method: 'abx', trials: 2, handling });
  const { joinCode } = await desk.openSession(study);
  const phone = await come(joinCode, 'Heron');
  const arrival = (await desk.look(study)).arrivals[0]?.seat;
  if (!arrival) throw new Error('Heron is not ready.');
  await desk.act(arrival);
  const hand = async () => {
    const [found] = (await desk.look(study)).hands;
    if (!found?.form) throw new Error('The desk has nothing to do by hand.');
    return { ...found, form: found.form };
  };
  const hear = async (presentation: number) => {
    await phone.until(({ kind, presentation: at }) => kind === 'fitting' && at === presentation);
    await phone.act({ kind: 'fits', presentation });
    await phone.act({ kind: 'heard', presentation });
  };
  return { house, desk, study, phone, hand, hear };
}

test.each(['solo', 'two-person'] as const)(
  '%s: before the third both go back, and no swap is taken',
  async (handling) => {
    const { house, desk, study, phone, hand, hear } = await seated(handling);
    const first = await phone.until(({ kind }) => kind === 'waiting');
    expect(first.html).toContain('Wait for the first sample');
    const codes: string[] = [];
    let give = await hand();
    codes.push(give.give ?? '');
    await desk.act(give.form);

    // A third before the first two is refused, wherever it is tried.
    await phone.until(({ kind }) => kind === 'fitting');
    for (const kind of ['fits', 'heard'] as const) {
      expect(await phone.act({ kind, presentation: 3 })).toMatchObject({
        ok: false,
        error: { code: 'wrong-place', path: 'presentation' },
      });
    }
    await hear(1);
    give = await hand();
    expect(give).toMatchObject({ kind: 'swap', takeBack: codes[0] });
    codes.push(give.give ?? '');
    await desk.act(give.form);
    await hear(2);

    const back = await hand();
    expect(back).toMatchObject({ kind: 'take-back', takeBack: codes[1], give: null });
    expect((await phone.where())?.html).toContain('Take out the sample you have');
    const third = ledgerIn(house.folder).find(({ kind }) => kind === 'seated')?.body.trials as { codes: string[] }[];
    const x = third[0]?.codes[2] ?? '';
    const _csrf = give.form.fields._csrf ?? '';
    const sitting = give.form.fields.sitting ?? '';
    const swap = await desk.post(
      `${study}/run/hand-over`,
      { _csrf, sitting, give: x, takeBack: codes[1] ?? '' },
      'json',
    );
    expect([swap.status, swap.json()]).toMatchObject([409, { error: { code: 'wrong-place', path: 'takeBack' } }]);
    await desk.act(back.form);
    // Where carriers keep their codes, the hand says that this one must be out of sight; with fresh ones there is no need.
    const covered = (await desk.open(`${study}/run/part`)).body.includes('the code out of sight');
    expect(covered).toBe(handling !== 'two-person');
    const alone = await hand();
    expect(alone).toMatchObject({ kind: 'swap', give: x, takeBack: null });

    // Where carriers keep their codes for the day, the phone must not know which code the third has.
    const waiting = await phone.where();
    await desk.act(alone.form);
    await phone.until(({ kind, presentation }) => kind === 'fitting' && presentation === 3);
    const fitting = phone.place;
    await phone.act({ kind: 'fits', presentation: 3 });
    const listening = phone.place;
    await phone.act({ kind: 'heard', presentation: 3 });
    for (const place of [waiting, fitting, listening]) {
      expect(place?.code).toBe(handling === 'solo' ? '' : x);
      expect(place?.html).toContain('third sample');
      // Ids and versions may hold the same three digits.
      const shown = (place?.html ?? '').replaceAll('\u2009', '');
      if (handling === 'solo') {
        for (const code of codes) expect(shown).not.toMatch(new RegExp(`(?<![\\w-])${code}(?![\\w-])`));
      }
    }
    expect(codes.includes(x)).toBe(handling === 'solo');

    const asking = await phone.until(({ kind }) => kind === 'asking');
    expect([...asking.answers].sort()).toEqual([...codes].sort());
    expect(asking.html).toContain('The third was one of the first two');
    if (handling === 'two-person') {
      const refused = await phone.act({ kind: 'answer', answer: x });
      expect(refused).toMatchObject({ ok: false, error: { code: 'bad-input', path: 'answer' } });
      expect(refused.ok || refused.error.message).not.toContain(x);
    }
    expect(
      await phone.act({
        kind: 'rate',
        ratings: [{ scale: 'bass', value: 1, touched: { sincePlaying: null, wall: 1 } }],
      }),
    ).toMatchObject({
      ok: false,
      error: { code: 'wrong-place', path: 'kind' },
    });
    expect(await phone.act({ kind: 'answer', answer: codes[0] ?? '' })).toMatchObject({ ok: true });
    // There are no words after it: the next trial begins.
    expect((await phone.where())?.kind).toBe('waiting');
    phone.hangUp();
    await house.close();
  },
);
