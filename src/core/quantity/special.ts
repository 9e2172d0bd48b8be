/**
 * Gamma and beta functions for the estimator and the stock forecast: log gamma, the regularised incomplete
 * gamma and beta functions in both tails, and their inverses. Fast enough for a planner that asks hundreds of
 * thousands of times, accurate to about 1e-12 relative (checked in tests/outside/statistics.test.ts).
 *
 * Tails are computed on the log scale, so that they neither underflow nor lose digits. The inverses run
 * Newton's method on the log of the smaller tail as a function of log x or log odds. There both densities are
 * log-concave, hence so are both tails (Prékopa), hence Newton converges from every start and needs no bracket.
 *
 * Formulas: Stirling's series, DLMF 5.11.1; incomplete gamma, DLMF 8.11.4 (series) and 8.9.2 (fraction);
 * incomplete beta, DLMF 8.17.22 (fraction). Fractions are evaluated by the modified Lentz method.
 */
const HALF_LOG_2PI = 0.9189385332046727;
const TINY = 1e-300;
const EPSILON = 1e-15;
const MAX_TERMS = 20_000;

/** ln Γ(x), x > 0. */
export function lgamma(x: number): number {
  if (!(x > 0)) throw new RangeError(`lgamma needs x > 0, got ${x}`);
  return (x - 0.5) * Math.log(x) - x + HALF_LOG_2PI + stirlingError(x);
}

/** ln Γ(x) less Stirling's first terms: small and precise, so that it does not drown in large cancelling ones. */
function stirlingError(x: number): number {
  if (x < 10) {
    let product = 1;
    let shifted = x;
    while (shifted < 10) product *= shifted++;
    const shiftedLog = (shifted - 0.5) * Math.log(shifted) - shifted + stirlingSeries(shifted);
    return shiftedLog - Math.log(product) - (x - 0.5) * Math.log(x) + x;
  }
  return stirlingSeries(x);
}

function stirlingSeries(x: number): number {
  const q = 1 / (x * x);
  return (
    (1 / 12 -
      q * (1 / 360 - q * (1 / 1260 - q * (1 / 1680 - q * (1 / 1188 - q * (691 / 360360 - q * (1 / 156))))))) /
    x
  );
}

/** a ln(x / a) - x + a without cancellation near x = a. */
function logRatioTerm(a: number, x: number): number {
  const d = (x - a) / a;
  return Math.abs(d) < 0.1 ? a * log1pMinus(d) : a * Math.log(x / a) - x + a;
}

/** ln(1 + d) - d; a series for |d| < 0.1 (atanh form). */
function log1pMinus(d: number): number {
  const r = d / (2 + d);
  const r2 = r * r;
  const series = 1 / 3 + r2 * (1 / 5 + r2 * (1 / 7 + r2 * (1 / 9 + r2 * (1 / 11 + r2 * (1 / 13 + r2 / 15)))));
  return r * (2 * r2 * series - d);
}

// ---- gamma ------------------------------------------------------------------------------------------------

/** ln [x^a e^-x / Γ(a)]: the density of ln X for X ~ Gamma(a, 1). */
function logGammaKernel(a: number, x: number): number {
  return logRatioTerm(a, x) + 0.5 * Math.log(a) - HALF_LOG_2PI - stirlingError(a);
}

/** ln P(a, x): log of P(X <= x), X ~ Gamma(shape a, scale 1). */
function logGammaLower(a: number, x: number): number {
  if (x >= a + 1) return Math.log1p(-Math.exp(logGammaUpper(a, x)));
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < MAX_TERMS; n++) {
    term *= x / (a + n);
    sum += term;
    if (term < sum * EPSILON) break;
  }
  return logGammaKernel(a, x) + Math.log(sum);
}

/** ln Q(a, x): log of P(X > x). */
function logGammaUpper(a: number, x: number): number {
  if (x < a + 1) return Math.log1p(-Math.exp(logGammaLower(a, x)));
  let b = x + 1 - a;
  let c = 1 / TINY;
  let d = 1 / b;
  let h = d;
  for (let i = 1; i < MAX_TERMS; i++) {
    const an = -i * (i - a);
    b += 2;
    d = 1 / guard(an * d + b);
    c = guard(b + an / c);
    const step = d * c;
    h *= step;
    if (Math.abs(step - 1) < EPSILON) break;
  }
  return logGammaKernel(a, x) + Math.log(h);
}

const guard = (value: number): number => (Math.abs(value) < TINY ? TINY : value);

/** P(X <= x) for X ~ Gamma(shape, scale). */
export function gammaCdf(x: number, shape: number, scale: number): number {
  requirePositive(shape, scale);
  return x <= 0 ? 0 : x === Infinity ? 1 : Math.exp(logGammaLower(shape, x / scale));
}

/** P(X > x) for X ~ Gamma(shape, scale); keeps its digits far out in the tail. */
export function gammaSf(x: number, shape: number, scale: number): number {
  requirePositive(shape, scale);
  return x <= 0 ? 1 : x === Infinity ? 0 : Math.exp(logGammaUpper(shape, x / scale));
}

/** The x with P(X <= x) = p for X ~ Gamma(shape, scale). */
export function gammaQuantile(p: number, shape: number, scale: number): number {
  requirePositive(shape, scale);
  requireProbability(p);
  if (p === 0) return 0;
  if (p === 1) return Infinity;
  const isLower = p <= 0.5;
  const target = isLower ? Math.log(p) : Math.log1p(-p);
  const tail = isLower ? logGammaLower : logGammaUpper;
  // Wilson-Hilferty start, or the leading power of the lower tail where that fails.
  const z = normalQuantile(p);
  const root = 1 - 1 / (9 * shape) + z / (3 * Math.sqrt(shape));
  let u =
    shape > 0.5 && root > 0.1
      ? Math.log(shape) + 3 * Math.log(root)
      : Math.min((Math.log(p) + lgamma(shape + 1)) / shape, Math.log(shape + 1 + 2 * Math.abs(z)));
  for (let i = 0; i < 60; i++) {
    const x = Math.exp(u);
    if (x === 0) break;
    const logTail = tail(shape, x);
    const slope = Math.exp(logGammaKernel(shape, x) - logTail);
    const step = ((target - logTail) / slope) * (isLower ? 1 : -1);
    // A flat far tail can throw the first step off the scale of a double.
    u += Math.max(-50, Math.min(50, step));
    if (Math.abs(step) < 1e-13 * Math.max(1, Math.abs(u))) break;
  }
  return Math.exp(u) * scale;
}

// ---- beta -------------------------------------------------------------------------------------------------

/** ln [x^a y^b / B(a, b)], y = 1 - x: the density of the log odds of X ~ Beta(a, b). */
function logBetaKernel(x: number, y: number, a: number, b: number): number {
  const n = a + b;
  return (
    logRatioTerm(a, n * x) +
    logRatioTerm(b, n * y) +
    0.5 * Math.log((a / n) * b) -
    HALF_LOG_2PI +
    stirlingError(n) -
    stirlingError(a) -
    stirlingError(b)
  );
}

/** ln I_x(a, b). `y` is 1 - x, given apart because it may be the one that is known precisely. */
function logBetaLower(x: number, y: number, a: number, b: number): number {
  if (x * (a + b + 2) > a + 1) {
    return Math.log1p(-Math.exp(logBetaKernel(x, y, a, b) + logBetaFraction(y, b, a)));
  }
  return logBetaKernel(x, y, a, b) + logBetaFraction(x, a, b);
}

/** ln of the continued fraction of I_x(a, b), divided by a. */
function logBetaFraction(x: number, a: number, b: number): number {
  const n = a + b;
  let c = 1;
  let d = 1 / guard(1 - (n * x) / (a + 1));
  let h = d;
  for (let m = 1; m < MAX_TERMS; m++) {
    const a2 = a + 2 * m;
    const even = (m * (b - m) * x) / ((a2 - 1) * a2);
    d = 1 / guard(1 + even * d);
    c = guard(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (n + m) * x) / (a2 * (a2 + 1));
    d = 1 / guard(1 + odd * d);
    c = guard(1 + odd / c);
    const step = d * c;
    h *= step;
    if (Math.abs(step - 1) < EPSILON) break;
  }
  return Math.log(h / a);
}

/** I_x(a, b) = P(X <= x), X ~ Beta(a, b). Pass `y` = 1 - x where it is known more precisely than x. */
export function betaCdf(x: number, a: number, b: number, y: number = 1 - x): number {
  requirePositive(a, b);
  return x <= 0 ? 0 : y <= 0 ? 1 : Math.exp(logBetaLower(x, y, a, b));
}

/** P(X <= x) for X ~ BetaPrime(a, b), that is X / (1 + X) ~ Beta(a, b). */
export function betaPrimeCdf(x: number, a: number, b: number): number {
  requirePositive(a, b);
  return x <= 0 ? 0 : x === Infinity ? 1 : Math.exp(logBetaLower(x / (1 + x), 1 / (1 + x), a, b));
}

/** P(X > x) for X ~ BetaPrime(a, b); keeps its digits far out in the tail. */
export function betaPrimeSf(x: number, a: number, b: number): number {
  requirePositive(a, b);
  return x <= 0 ? 1 : x === Infinity ? 0 : Math.exp(logBetaLower(1 / (1 + x), x / (1 + x), b, a));
}

/** ln P(X > x) for X ~ BetaPrime(a, b), x > 0: for ratios of tails that would both underflow. */
export function betaPrimeLogSf(x: number, a: number, b: number): number {
  requirePositive(a, b);
  return logBetaLower(1 / (1 + x), x / (1 + x), b, a);
}

/** Log density of BetaPrime(a, b) at x > 0. */
export function betaPrimeLogPdf(x: number, a: number, b: number): number {
  requirePositive(a, b);
  return logBetaKernel(x / (1 + x), 1 / (1 + x), a, b) - Math.log(x);
}

/** The x with P(X <= x) = p for X ~ BetaPrime(a, b). */
export function betaPrimeQuantile(p: number, a: number, b: number): number {
  requirePositive(a, b);
  requireProbability(p);
  if (p === 0) return 0;
  if (p === 1) return Infinity;
  // 1 / X ~ BetaPrime(b, a), so the lower tail serves both.
  return p <= 0.5
    ? Math.exp(lowerLogOdds(Math.log(p), p, a, b))
    : Math.exp(-lowerLogOdds(Math.log1p(-p), 1 - p, b, a));
}

/** The x with I_x(a, b) = p. */
export function betaQuantile(p: number, a: number, b: number): number {
  const odds = betaPrimeQuantile(p, a, b);
  return odds === Infinity ? 1 : odds / (1 + odds);
}

/** Log odds u of the p-quantile of Beta(a, b), p <= 1/2. */
function lowerLogOdds(logP: number, p: number, a: number, b: number): number {
  const start = Math.log(a / b) + normalQuantile(p) * Math.sqrt(1 / a + 1 / b);
  // Left of the root from the leading power x^a / (a B(a, b)): right for small a, where the normal start fails.
  const leading = (logP + Math.log(a) + lgamma(a) + lgamma(b) - lgamma(a + b)) / a;
  let u = a < 1 ? Math.min(start, Math.max(leading, -700)) : start;
  for (let i = 0; i < 60; i++) {
    const odds = Math.exp(u);
    if (odds === 0) break;
    const x = odds / (1 + odds);
    const y = 1 / (1 + odds);
    const logTail = logBetaLower(x, y, a, b);
    const slope = Math.exp(logBetaKernel(x, y, a, b) - logTail);
    const step = (logP - logTail) / slope;
    u += Math.max(-50, Math.min(50, step));
    if (Math.abs(step) < 1e-13 * Math.max(1, Math.abs(u))) break;
  }
  return u;
}

// ---- normal -----------------------------------------------------------------------------------------------

/** P(Z <= z) for a standard normal, through the incomplete gamma function (DLMF 7.11.1). */
export function normalCdf(z: number): number {
  if (z === 0) return 0.5;
  const tail = 0.5 * gammaSf((z * z) / 2, 0.5, 1);
  return z > 0 ? 1 - tail : tail;
}

/** A rough z with P(Z <= z) = p (Hastings' form, Abramowitz and Stegun 26.2.23, error below 4.5e-4). */
function normalQuantile(p: number): number {
  const t = Math.sqrt(-2 * Math.log(Math.min(p, 1 - p)));
  const z =
    t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
  return p < 0.5 ? -z : z;
}

function requirePositive(a: number, b: number): void {
  if (!(a > 0 && b > 0 && a < Infinity && b < Infinity))
    throw new RangeError(`shape and scale must be positive and finite, got ${a} and ${b}`);
}

function requireProbability(p: number): void {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a probability lies in 0 to 1, got ${p}`);
}
