/**
 * Turns every fault into application/problem+json (RFC 9457): the one place that decides what the
 * outside sees. Details say what to do next; nothing of the input is echoed but a short quotation.
 */
import type { Act } from '../monitoring/watch.ts';
import { describeFault } from '../science/fault.ts';
import { type ProblemDetails, problemJson, problemMediaType } from '../wire/problem-details.ts';
import { readingFaultInWords } from '../wire/reading-fault.ts';
import { senmlCborFaultInWords } from '../wire/senml-cbor.ts';
import { sensmlFaultInWords } from '../wire/sensml-read.ts';
import type { Fault } from './fault.ts';
import { quote } from './quote.ts';

/** Said where a pack is refused; a stream that ends early says what was stored instead. */
const nothingStored = '; nothing was stored';

const list = (items: readonly string[]): string => items.join(', ');

const batchDetail = (fault: Extract<Fault, { kind: 'batch' }>['fault']): string => {
  switch (fault.kind) {
    case 'vessel-unknown':
      return 'the vessel does not exist: create it first';
    case 'vessel-occupied':
      return `the vessel holds batch ${fault.batch}: end that batch first`;
    case 'batch-not-here':
      return `batch ${fault.batch} is not in a vessel any more`;
    case 'vessel-empty':
      return 'there is no batch in this vessel: start one first';
    case 'sample-before-batch':
      return `time lies before batch ${fault.batch} was started, at ${fault.startedAt} (Unix seconds)`;
    case 'samples-full':
      return `batch ${fault.batch} keeps at most ${fault.most} samples`;
  }
};

/** What a person can do where an act is not possible. */
const actAdvice = {
  acknowledge: 'only an alarm that waits for an acknowledgement can be acknowledged',
  reset: 'only a latched alarm that is over and acknowledged can be reset',
  shelve: 'one that is suppressed or out of service cannot be shelved as well',
  unshelve: 'only a shelved alarm can be taken off the shelf',
  'remove-from-service': 'it is out of service already',
  'return-to-service': 'only an alarm that is out of service can be put back',
} as const satisfies Record<Act['kind'], string>;

const moment = (timeSeconds: number): string => {
  const date = new Date(timeSeconds * 1000);
  return Number.isNaN(date.getTime()) ? String(timeSeconds) : date.toISOString();
};

const actDetail = (fault: Extract<Fault, { kind: 'act' }>['fault']): string => {
  switch (fault.kind) {
    case 'no-such-alarm':
      return `there is no alarm ${quote(fault.alarm)} on this vessel`;
    case 'not-possible':
      return `the alarm ${fault.alarm} is ${fault.state}: ${actAdvice[fault.act]}`;
    case 'time-out-of-bounds':
      return (
        `${fault.field} is ${moment(fault.found)}: for an alarm of ${fault.priority} priority ` +
        `it must be after ${moment(fault.earliest)} and not after ${moment(fault.latest)}`
      );
  }
};

const othersInWords = (others: number): string =>
  others === 0 ? '' : ` (and ${others} more ${others === 1 ? 'fault' : 'faults'})`;

const problem = (
  status: number,
  title: string,
  detail: string,
  extensions: NonNullable<ProblemDetails['extensions']> = {},
): ProblemDetails => ({ type: 'about:blank', title, status, detail, extensions });

export const toProblem = (fault: Fault): ProblemDetails => {
  switch (fault.kind) {
    case 'key-missing':
      return problem(401, 'Key missing', 'send the key in the header "Authorization: Bearer KEY"');
    case 'key-refused':
      return problem(
        401,
        'Key refused',
        'this key does not open this cellar: it is mistyped, revoked, expired, or of another cellar',
      );
    case 'too-many-tries':
      return problem(
        429,
        'Too many tries',
        `too many keys that open nothing have been tried: wait ${fault.retryAfterSeconds} s before another; a key that opens this cellar is never kept waiting`,
        { retryAfterSeconds: fault.retryAfterSeconds },
      );
    case 'role-too-low':
      return problem(
        403,
        'Not allowed',
        `a ${fault.role} key cannot do this; it needs ${fault.needed.join(' or ')}`,
      );
    case 'vessel-not-granted':
      return problem(
        403,
        'Vessel not granted',
        `record ${fault.record + 1}: this key may not write readings of vessel ${fault.vessel}${nothingStored}`,
        { record: fault.record },
      );
    case 'not-found':
      return problem(404, 'Not found', `there is no ${fault.what} ${quote(fault.name)} here`);
    case 'path-unknown':
      return problem(404, 'Not found', 'nothing answers at this address');
    case 'name-taken':
      return problem(409, 'Name taken', `${fault.what} ${fault.name} exists: ${fault.advice}`);
    case 'last-keeper':
      return problem(
        409,
        'Last keeper key',
        'this is the last working keeper key: make another one before revoking it',
      );
    case 'body-empty':
      return problem(400, 'Empty body', 'the request has no body');
    case 'body-too-large':
      return problem(
        413,
        'Body too large',
        `a body may have at most ${fault.limitBytes} bytes: send it in parts`,
      );
    case 'body-not-utf8':
      return problem(400, 'Not UTF-8', 'the body is not UTF-8 text');
    case 'body-not-gzip':
      return problem(
        400,
        'Broken gzip',
        'the body is not one whole gzip stream: send it again, or without content-encoding',
      );
    case 'body-broken':
      return problem(400, 'Body broken off', 'the connection broke before the body had ended');
    case 'content-encoding':
      return problem(
        415,
        'Content encoding not accepted',
        `content-encoding is ${quote(fault.found)}; send gzip, or the body as it is without one`,
      );
    case 'body-not-json':
      return problem(400, 'Broken JSON', `the body is not JSON: ${fault.reason}`);
    case 'media-type':
      return problem(
        415,
        'Media type not accepted',
        `content-type is ${fault.found === '' ? 'missing' : quote(fault.found)}; send ${list(fault.accepted)}`,
      );
    case 'fields':
      return problem(
        422,
        'Fields refused',
        fault.fields.map(({ field, detail }) => `${field} ${detail}`).join('; '),
        { errors: fault.fields.map(({ field, detail }) => ({ field, detail })) },
      );
    case 'pack-too-long':
      return problem(
        413,
        'Pack too long',
        `the pack has ${fault.records} records, at most ${fault.limit} are accepted: send it in parts`,
      );
    case 'pack-without-readings':
      return problem(
        422,
        'No readings',
        'the pack has base fields only: give at least one record a name and a value',
      );
    case 'senml':
      return problem(
        400,
        'SenML refused',
        `${senmlCborFaultInWords(fault.fault)}${nothingStored}`,
        'record' in fault.fault ? { record: fault.fault.record } : {},
      );
    case 'sensml':
      return problem(
        400,
        'Stream refused',
        sensmlFaultInWords(fault.fault),
        'record' in fault.fault ? { record: fault.fault.record } : {},
      );
    case 'csv':
      return problem(
        422,
        'CSV refused',
        `${fault.faults[0] ?? ''}${othersInWords(fault.faults.length - 1 + fault.more)}${nothingStored}`,
        { errors: fault.faults.map((detail) => ({ field: 'body', detail })) },
      );
    case 'stream-ended': {
      const why = toProblem(fault.why);
      const detail = (why.detail ?? '').replace(nothingStored, '');
      const { stored, repeated, corrected, thinned = 0 } = fault.counts;
      const taken = stored + repeated + corrected + thinned;
      return {
        ...why,
        detail: `${detail}; of the readings before it ${taken} were taken, ${stored} of them were new and are stored; sent again, a reading with a time of its own is not stored twice`,
        extensions: { ...why.extensions, ...fault.counts },
      };
    }
    case 'archive':
      return problem(
        fault.conflicts ? 409 : 422,
        'Archive refused',
        `line ${fault.line} of the archive ${fault.why}; what stands before it was taken, and is left as it is when the archive is sent again`,
      );
    case 'reading':
      return problem(
        422,
        'Reading refused',
        `${readingFaultInWords(fault.fault)}${nothingStored}`,
        { record: fault.fault.record },
      );
    case 'vessel-not-listed':
      return problem(
        422,
        'Vessel unknown',
        `record ${fault.record + 1}: there is no vessel ${fault.vessel} in this cellar: create it first${nothingStored}`,
        { record: fault.record },
      );
    case 'over-budget':
      return problem(
        429,
        'Too many readings',
        `this key has sent more readings of vessel ${fault.vessel} than its budget: send the same request again in ${fault.retryAfterSeconds} s, repeating is safe`,
        { retryAfterSeconds: fault.retryAfterSeconds },
      );
    case 'batch':
      return problem(409, 'Batch refused', batchDetail(fault.fault));
    case 'act':
      return problem(
        fault.fault.kind === 'no-such-alarm' ? 404 : 409,
        'Alarm not changed',
        actDetail(fault.fault),
      );
    case 'calculation': {
      const detail = describeFault(fault.fault);
      return problem(422, 'Calculation refused', detail, {
        errors: [{ field: fault.fault.field, detail }],
      });
    }
    case 'link-over':
      return problem(
        404,
        'This link leads nowhere any more',
        'it works once and for a day, while its alarm stands: sign in to see what stands now',
      );
    case 'refused-by-guard':
      return problem(
        fault.status,
        'Refused',
        'the request did not come from this page: open the page again and repeat it there',
      );
    case 'unexpected':
      return problem(
        500,
        'Unexpected error',
        'something went wrong on our side: the log of the worker says what',
      );
    case 'storage-unavailable':
      return problem(
        503,
        'Storage unavailable',
        `the readings may be stored in part: send the same request again in ${fault.retryAfterSeconds} s, repeating is safe`,
        { retryAfterSeconds: fault.retryAfterSeconds },
      );
    case 'storage-full':
      return problem(
        507,
        'Storage full',
        'the disk of the machine that runs Gyleward is full, and what was sent is kept in part at most: make room there, then send the same request again; repeating is safe',
        { retryAfterSeconds: fault.retryAfterSeconds },
      );
  }
};

const retryAfter = ({ extensions }: ProblemDetails): Readonly<Record<string, string>> => {
  const seconds = extensions?.retryAfterSeconds;
  return seconds === undefined ? {} : { 'retry-after': String(seconds) };
};

/**
 * Where a body comes in a form that is not taken, headers name those that are: Accept-Post as registered by
 * "Linked Data Platform 1.0" (W3C 2015, section 7.1), Accept-Encoding as RFC 9110 section 12.5.3 has it for answers.
 */
export const hintsOf = (fault: Fault): Readonly<Record<string, string>> => {
  switch (fault.kind) {
    case 'media-type':
      return { 'accept-post': fault.accepted.join(', ') };
    case 'content-encoding':
      return { 'accept-encoding': 'gzip' };
    default:
      return {};
  }
};

export const problemResponse = (
  details: ProblemDetails,
  hints: Readonly<Record<string, string>> = {},
): Response =>
  new Response(problemJson(details), {
    status: details.status,
    headers: {
      'content-type': problemMediaType,
      'cache-control': 'no-store',
      ...(details.status === 401 ? { 'www-authenticate': 'Bearer realm="cellar"' } : {}),
      ...retryAfter(details),
      ...hints,
    },
  });
