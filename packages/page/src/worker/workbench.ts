import {
  checkLog,
  draftFromLogs,
  forecastTrial,
  groupLogs,
  measuredErrorCsv,
  type OpenedLog,
  PullproofError,
  parseTrial,
  planTrial,
  type ReadLogs,
  readUnstated,
  reconcileTrial,
  runTrial,
  seasonOfTrials,
  type TrialResult,
} from '@pullproof/core';
import { renderCheck, renderForecast, renderPlan, renderReconcile, renderReport, renderSeason } from '@pullproof/report';
import { parse, stringify } from 'yaml';
import type { Answer, Draft, JobName, Jobs, SeenLog, Topic, TrialText } from './messages.js';
import { openFile } from './openFile.js';
import { pullSketches } from './sketch.js';
import { unknownColumns } from './unknownColumns.js';

export type Tell = (what: string, share: number) => void;
type Job<Name extends JobName> = (given: Jobs[Name]['given'], tell: Tell) => Jobs[Name]['made'];

const trialPath = 'trial.yaml';

/** The worker's side of the page: the files that were dropped, what was read of them, and the jobs of core and report on them. */
export function workbench(): { readonly [Name in JobName]: Job<Name> } {
  const files = new Map<string, Blob>();
  const seen = new Map<string, SeenLog>();
  /** Logs as read: another answer to the same logs reads none of them again. */
  const readLogs: ReadLogs = new Map();

  const forgetReadings = (name: string): void => {
    for (const [key, { log }] of readLogs) if (log.path === name) readLogs.delete(key);
  };
  const fileOf = (path: string): Blob => {
    const file = files.get(path);
    if (file !== undefined) return file;
    throw new PullproofError('E_INPUT', `The log ${path} is not here.`, { path }, 'Drop it on the page, or take its run out.');
  };
  const opener =
    (tell: Tell, read: Set<string>) =>
    (path: string): OpenedLog => {
      read.add(path);
      return openFile(fileOf(path), (share) => tell(`reading ${path}`, share));
    };
  const textOf = (draft: Draft): string => stringify(draft, { lineWidth: 0 });
  const run = (draft: Draft, tell: Tell, read = new Set<string>()): TrialResult =>
    runTrial(textOf(draft), trialPath, opener(tell, read), { readLogs, traces: true });

  const topics: { readonly [Name in Topic]: (draft: Draft, tell: Tell, trials: readonly TrialText[]) => string } = {
    forecast: (draft, tell) => renderForecast(forecastTrial(textOf(draft), trialPath, opener(tell, new Set()))),
    reconcile: (draft, tell) => renderReconcile(reconcileTrial(textOf(draft), trialPath, opener(tell, new Set()))),
    plan: (draft, tell) => renderPlan(planTrial(textOf(draft), trialPath, opener(tell, new Set()))),
    season: (_, tell, trials) => renderSeason(seasonOfTrials(trials, (__, log) => opener(tell, new Set())(log), { readLogs })),
    check: () => renderCheck({ schema: 'pullproof/check@1', logs: [...seen.values()].map(({ checked }) => checked) }),
  };

  return {
    read: ({ name, file }, tell) => {
      forgetReadings(name);
      const { log } = readUnstated(
        name,
        openFile(file, (share) => tell(`reading ${name}`, share)),
        readLogs,
      );
      tell(`looking at ${name}`, 1);
      const one: SeenLog = { checked: checkLog(log), pulls: pullSketches(log), unknown: unknownColumns(log) };
      files.set(name, file);
      seen.set(name, one);
      return one;
    },
    forget: ({ name }) => {
      files.delete(name);
      seen.delete(name);
      forgetReadings(name);
      return null;
    },
    propose: ({ names }) => draftFromLogs(groupLogs(names.flatMap((name) => seen.get(name)?.checked ?? []))),
    open: ({ text }) => {
      parseTrial(text, trialPath);
      return parse(text) as Draft;
    },
    write: ({ draft }) => textOf(draft),
    answer: ({ draft }, tell): Answer => {
      const read = new Set<string>();
      const result = run(draft, tell, read);
      tell('writing the report', 1);
      // The readings are in the report; the page's own thread needs none of them.
      const { traces: _, ...told } = result;
      return { result: told, report: renderReport(result), logsRead: read.size };
    },
    topic: ({ topic, draft, trials }, tell) => topics[topic](draft, tell, trials),
    fuelTable: ({ draft }, tell) => {
      const made = run(draft, tell).setups.flatMap(({ fuelTable: own }) =>
        own?.table ? [measuredErrorCsv(own.table, own.provenance)] : [],
      );
      if (made.length === 0)
        throw new PullproofError(
          'E_NO_FUEL_TABLE',
          'There is no fueling error to write.',
          {},
          'Log lambda and commanded lambda in the pulls.',
        );
      const [first = '', ...others] = made;
      return first + others.map((one) => one.slice(one.indexOf('\r\n') + 2)).join('');
    },
  };
}
