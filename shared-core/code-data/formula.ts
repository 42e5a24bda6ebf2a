/**
 * The formula that is shown is the one that is computed: a derivation's plain-symbol text is parsed once and evaluated
 * over its named inputs, so that no number can differ from the formula beside it.
 *
 * Grammar: name = comparison; + - x / ^ ( ) numbers names; sqrt max min; >= <= > < give true or false.
 */
export type Symbols = Readonly<Record<string, number>>;
type Evaluate = (symbols: Symbols) => number | boolean;
type Term = (symbols: Symbols) => number;

const TOKEN = /\s*(?:([0-9]*\.?[0-9]+)|([A-Za-z_][A-Za-z_0-9]*)|(>=|<=|[-+/^(),<>]))/y;
const TIMES = 'x';

function tokens(text: string): string[] {
  const found: string[] = [];
  TOKEN.lastIndex = 0;
  while (TOKEN.lastIndex < text.length) {
    const match = TOKEN.exec(text);
    if (!match) throw new RangeError(`'${text}' is not a formula`);
    found.push(match[1] ?? match[2] ?? match[3] ?? '');
  }
  return found;
}

class Parser {
  private at = 0;
  constructor(private readonly list: readonly string[], private readonly text: string) {}

  private take(...wanted: string[]): string | null {
    const next = this.list[this.at];
    if (next === undefined || !wanted.includes(next)) return null;
    this.at += 1;
    return next;
  }

  private need(wanted: string): void {
    if (this.take(wanted) === null) throw new RangeError(`'${this.text}' lacks '${wanted}'`);
  }

  comparison(): Evaluate {
    const left = this.sum();
    const sign = this.take('>=', '<=', '>', '<');
    const right = sign === null ? null : this.sum();
    if (this.at !== this.list.length) throw new RangeError(`'${this.text}' is not a formula`);
    if (right === null) return left;
    if (sign === '>=') return (s) => left(s) >= right(s);
    if (sign === '<=') return (s) => left(s) <= right(s);
    if (sign === '>') return (s) => left(s) > right(s);
    return (s) => left(s) < right(s);
  }

  private sum(): Term {
    let left = this.product();
    for (let sign = this.take('+', '-'); sign !== null; sign = this.take('+', '-')) {
      const a = left;
      const b = this.product();
      left = sign === '+' ? (s) => a(s) + b(s) : (s) => a(s) - b(s);
    }
    return left;
  }

  private product(): Term {
    let left = this.power();
    for (let sign = this.take(TIMES, '/'); sign !== null; sign = this.take(TIMES, '/')) {
      const a = left;
      const b = this.power();
      left = sign === TIMES ? (s) => a(s) * b(s) : (s) => a(s) / b(s);
    }
    return left;
  }

  private power(): Term {
    const base = this.atom();
    if (this.take('^') === null) return base;
    const exponent = this.atom();
    return (s) => base(s) ** exponent(s);
  }

  private atom(): Term {
    if (this.take('(') !== null) {
      const inner = this.sum();
      this.need(')');
      return inner;
    }
    const token = this.list[this.at];
    if (token === undefined) throw new RangeError(`'${this.text}' ends too early`);
    this.at += 1;
    if (/^[0-9.]/.test(token)) {
      const value = Number(token);
      return () => value;
    }
    if (token === 'sqrt' || token === 'max' || token === 'min') return this.call(token);
    return (s) => {
      const value = s[token];
      if (value === undefined) throw new RangeError(`'${this.text}' has no value for ${token}`);
      return value;
    };
  }

  private call(name: 'sqrt' | 'max' | 'min'): Term {
    this.need('(');
    const first = this.sum();
    const rest: Term[] = [];
    while (this.take(',') !== null) rest.push(this.sum());
    this.need(')');
    if (name === 'sqrt') return (s) => Math.sqrt(first(s));
    const pick = name === 'max' ? Math.max : Math.min;
    return (s) => pick(first(s), ...rest.map((term) => term(s)));
  }
}

const parsed = new Map<string, Evaluate>();

/**
 * Evaluates 'symbol = expression' over named numbers.
 * @throws RangeError when the text is no formula or a symbol has no value (programmer error)
 */
export function evaluate(formula: string, symbols: Symbols): number | boolean {
  let run = parsed.get(formula);
  if (!run) {
    const expression = formula.slice(formula.indexOf(' = ') + 3);
    run = new Parser(tokens(expression), formula).comparison();
    parsed.set(formula, run);
  }
  return run(symbols);
}
