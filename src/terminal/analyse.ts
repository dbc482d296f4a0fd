import { createReadStream, statSync } from 'node:fs';
import { basename, resolve } from 'node:path';
import { StringDecoder } from 'node:string_decoder';
import { allRigReaders } from '../analysis/rigs/all-rig-readers.ts';
import { provideRigReaders } from '../analysis/rigs/rig-readers.ts';
import { CaptureAnalyser } from '../analysis/sweep/capture-analyser.ts';
import type { AnalysedCapture } from '../analysis/sweep/capture-analyser.ts';
import type { Analysis } from '../analysis/sweep/analysis.ts';
import { captureBudgets } from '../analysis/budget/capture-budgets.ts';
import type { CaptureBudgets } from '../analysis/budget/budget.ts';
import { refused } from '../base/outcome.ts';
import type { Outcome, Refusal } from '../base/outcome.ts';
import { CaptureReader, refuseTooBig } from '../signal/captures/read.ts';

provideRigReaders(allRigReaders);

const CHUNK_BYTES = 1 << 18;
const KNOWN_OPTIONS = new Set(['--pretty', '--budget']);

/** Asked for only: the documented object stays as it is without it. `budget.catches[i]` belongs to `catches[i]`. */
export interface AnalysisWithBudget extends Analysis {
  readonly budget: CaptureBudgets;
}

/** A file that could not be analysed: as an object of its own line, so that a reader of the output misses none. */
export interface RefusedFile {
  readonly format: 'catchbench-analysis 1';
  readonly file: string;
  readonly refused: Refusal['because'];
  /** Facts of the refusal, unit in the name (`size_bytes`, `limit_bytes`, `line` …). */
  readonly facts: Readonly<Record<string, string | number>>;
}

/**
 * `npm run -s analyse -- FILE… [--pretty] [--budget]`: one JSON object a file, one a line, in the order of the arguments, and nothing else on
 * standard output. Answers the exit code: 0, or 1 if a file was refused (the others are done all the same) or none was named.
 * Paths are meant from the caller's folder. With `--budget` each object has one more member, `budget`: what the ± of every catch, of
 * k and of the ratio to the rating is made of.
 */
export async function main(
  argv: readonly string[],
  write: (text: string) => void = (text) => void process.stdout.write(text),
  complain: (text: string) => void = (text) => void process.stderr.write(text),
): Promise<number> {
  const pretty = argv.includes('--pretty');
  const wantsBudget = argv.includes('--budget');
  const options = argv.filter((argument) => argument.startsWith('--') && !KNOWN_OPTIONS.has(argument));
  const files = argv.filter((argument) => !argument.startsWith('--'));
  if (options.length > 0 || files.length === 0) {
    const unknown = options.length > 0 ? `There is no option ${options.join(' ')}.\n` : '';
    complain(`${unknown}npm run -s analyse -- FILE… [--pretty] [--budget]\n`);
    return 1;
  }
  let code = 0;
  for (const file of files) {
    const analysed = await analyseOrRefuse(resolve(callersFolder(), file), file);
    if (!analysed.ok) code = 1;
    const printed: Analysis | AnalysisWithBudget | RefusedFile = analysed.ok
      ? wantsBudget
        ? { ...analysed.value.analysis, budget: captureBudgets(analysed.value.budgetFacts) }
        : analysed.value.analysis
      : {
          format: 'catchbench-analysis 1',
          file,
          refused: analysed.because,
          facts: analysed.facts ?? {},
        };
    write(`${JSON.stringify(printed, null, pretty ? 2 : undefined)}\n`);
  }
  return code;
}

/** npm changes to the package's folder and leaves the caller's in INIT_CWD. */
function callersFolder(): string {
  return process.env['npm_lifecycle_event'] === 'analyse'
    ? (process.env['INIT_CWD'] ?? process.cwd())
    : process.cwd();
}

/** Reads a capture in chunks; `name` is what is printed as `file`. */
export async function analyseFile(path: string, name: string = basename(path)): Promise<Outcome<Analysis>> {
  const analysed = await analyseWithBudgets(path, name);
  return analysed.ok ? { ok: true, value: analysed.value.analysis } : analysed;
}

type Analysed = Outcome<Pick<AnalysedCapture, 'analysis' | 'budgetFacts'>>;

/** A mistake of ours with one file, or one that can't be read to its end, must not lose the others. */
async function analyseOrRefuse(path: string, name: string): Promise<Analysed> {
  try {
    return await analyseWithBudgets(path, name);
  } catch (problem) {
    return refused('analysis-failed', { said: problem instanceof Error ? problem.message : String(problem) });
  }
}

async function analyseWithBudgets(path: string, name: string): Promise<Analysed> {
  const size_bytes = sizeOf(path);
  if (size_bytes === null) return refused('file-not-found', { path: name });
  const tooBig = refuseTooBig(size_bytes);
  if (tooBig !== null) return tooBig;
  const analyser = new CaptureAnalyser();
  const reader = new CaptureReader(analyser);
  const characters = new StringDecoder('utf8');
  for await (const chunk of createReadStream(path, { highWaterMark: CHUNK_BYTES })) {
    const pushed = reader.push(characters.write(chunk as Buffer));
    if (!pushed.ok) return pushed;
  }
  const rest = reader.push(characters.end());
  if (!rest.ok) return rest;
  const summary = reader.finish();
  if (!summary.ok) return summary;
  return { ok: true, value: analyser.finish(name, summary.value) };
}

function sizeOf(path: string): number | null {
  try {
    const about = statSync(path);
    return about.isFile() ? about.size : null;
  } catch {
    // Not there, or not ours to read: either way there is nothing to analyse.
    return null;
  }
}
