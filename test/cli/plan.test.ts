import { studyCases } from '@pullproof/simulation';
import { describe, expect, it } from 'vitest';
import { folderWith, pullproof } from './commandLine.js';

const study = studyCases.outingLuck!(2);
const files = { 'trial.yaml': study.trial, ...Object.fromEntries(study.logs) };

describe('plan', () => {
  it('says what could be shown and what to record next, and the same as JSON', async () => {
    const cwd = folderWith(files);
    const told = await pullproof(['plan', 'trial.yaml', '--show', '2%'], { cwd });
    expect(told.exit, told.err).toBe(0);
    expect(told.out).toContain('four times out of');
    expect(told.out).toContain('both setups in one more outing, alternating');
    const json = await pullproof(['plan', 'trial.yaml', '--show', '2%', '--json', '-'], { cwd });
    const plan = JSON.parse(json.out);
    expect(plan.schema).toBe('pullproof/plan@1');
    expect(plan.comparisons[0]).toMatchObject({ before: 'before', after: 'after', asked: { share: 0.02 } });
    expect(plan.comparisons[0].couldHaveShownW.value).toBeGreaterThan(0);
  });

  it('plans a trial whose logs are not there yet', async () => {
    const cwd = folderWith({ 'trial.yaml': study.trial });
    const { exit, out } = await pullproof(['plan', 'trial.yaml', '--json', '-'], { cwd });
    expect(exit).toBe(0);
    const plan = JSON.parse(out);
    expect(plan.comparisons[0].couldHaveShownW).toMatchObject({ value: null, standing: 'assumed' });
    expect(plan.findings.map(({ code }: { code: string }) => code)).toContain('LOG_NOT_THERE_YET');
  });

  it.each(['lots', '3', '-2%', '100%', '5 kg'])('refuses %s as a change', async (show) => {
    const { exit, err } = await pullproof(['plan', 'trial.yaml', `--show=${show}`], { cwd: folderWith(files) });
    expect(exit).toBe(2);
    expect(err).toContain('E_SHOW');
  });
});
