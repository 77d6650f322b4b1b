import { fault } from './fault.mjs';

/** What keeps what a sample is from phones and the desk. */
export const wire = [
  fault(
    'what goes to phones and the desk is not checked',
    'server/web/views.ts',
    [['    checkWire(view, model);\n', '']],
    'shared/wire/planted',
  ),
  fault(
    'a view of these rooms needs no schema',
    'server/web/wire-misfit.ts',
    [['else if (rooms.test(view)) {', 'else if (rooms.test(view) && view.length > 99) {']],
    'shared/wire/planted',
  ),
  fault(
    'fields that a schema does not name pass',
    'shared/wire/phone-part.ts',
    [["z.strictObject({ kind: z.literal('paused') })", "z.looseObject({ kind: z.literal('paused') })"]],
    'shared/wire/planted',
  ),
  fault(
    'any text is a code',
    'shared/wire/pieces.ts',
    [['branded<Code>(new', 'branded<Code>(/./ ?? new']],
    'shared/wire/planted',
  ),
  fault(
    'a misfit says what stood there',
    'server/web/wire-misfit.ts',
    [['issue.keys.length} unknown', 'issue.keys.join()} unknown']],
    'shared/wire/planted',
  ),
  fault(
    'a misfit is not in the log',
    'server/web/trace.ts',
    [['error instanceof WireMisfit ?', 'error instanceof WireMisfit && depth < 0 ?']],
    'shared/wire/planted',
    'flows/leak',
  ),
  fault(
    'a number at the desk hangs on what is compared',
    'server/run/desk-view.ts',
    [['    version: study.version,\n', '    version: study.version + study.plan.length,\n']],
    'flows/same-bytes',
  ),
  fault(
    'the desk reads the plan with its prototypes',
    'server/run/panel.ts',
    [["import { blindPlanOf } from '../blind-plan';", "import { planOf as blindPlanOf } from '../command';"]],
    'house/blindness',
  ),
  fault(
    'findings are joined in a room that has no business with them',
    'server/plan/check.ts',
    [['import { codesPerSitting }', 'import { codesPerSitting, drawSitting as _drawn }']],
    'house/blindness',
  ),
];
