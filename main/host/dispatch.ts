import { hostApi } from '../../shared-core/host-api';
import type { HostCall, HostServices, Outcome } from '../../shared-core/host-api';

const isCall = (name: unknown): name is HostCall => typeof name === 'string' && Object.hasOwn(hostApi, name);

/**
 * Answers one message of the window, whatever carried it: the name must be in the table and the argument must fit its
 * schema before any work starts. A service that throws is a fault of the program; the window gets words, never a stack.
 */
export async function dispatch(services: HostServices, name: unknown, input: unknown): Promise<Outcome<unknown>> {
  if (!isCall(name)) return refusal('unknown-call', 'The window asked for something this program does not offer.');
  const parsed = hostApi[name].input.safeParse(input);
  if (!parsed.success) {
    const places = parsed.error.issues.slice(0, 3).map((issue) => `${issue.path.join('.') || 'message'}: ${issue.message}`).join('; ');
    return refusal('bad-call', `The window sent '${name}' with data that does not fit (${places}).`);
  }
  try {
    const serve = services[name] as (input: unknown) => Promise<Outcome<unknown>>;
    return await serve(parsed.data);
  } catch (error) {
    // The log names the call and the kind of fault only: messages may quote a plan or a path.
    console.error(`lockstead: '${name}' failed with ${error instanceof Error ? error.constructor.name : typeof error}`);
    if (process.env['LOCKSTEAD_DEBUG']) console.error(error);
    return refusal('unexpected', `The program failed while it worked on '${name}'.`);
  }
}

function refusal(code: string, what: string): Outcome<never> {
  return { ok: false, problem: { code, what, todo: 'Nothing was changed. Save your work under another name and start the program again; if it happens again, report it.' } };
}
