// The feed's tables of judges as lines of text and as places on a scale. Works out shares from counts for showing them,
// and no interval, no comparison and no kappa: those are the feed's.

const MILLION = 1_000_000;
// A scale ends at the next of these, so that bars of several movements can be told apart by eye.
const SCALES = [0.1, 0.2, 0.3, 0.5, 0.75, 1];

export function percent(share, { language }) {
  return new Intl.NumberFormat(language, { style: "percent", maximumFractionDigits: 1 }).format(share);
}

function decimal(ppm, { language }) {
  const format = new Intl.NumberFormat(language, { minimumFractionDigits: 2, maximumFractionDigits: 2 });
  // A true minus, which stays with its figure.
  return format.format(ppm / MILLION).replace("-", "−");
}

const share = (hits, of) => (of > 0 ? hits / of : 0);

export function nameOf(judge, words) {
  if (judge.name != null) return judge.name;
  return judge.initials != null ? words.say("judge-initials", { initials: judge.initials }) : judge.device;
}

// Each movement with the field, a scale for its shares, and its judges, those with the most no-reps first.
export function movements({ field, rates }) {
  return field.map((of) => {
    const rows = rates.filter(({ movement }) => movement === of.movement);
    const highest = Math.max(share(of.no_reps, of.attempts), ...rows.map(({ interval }) => interval.high_ppm / MILLION));
    const scale = SCALES.find((end) => highest <= end) || 1;
    const sorted = [...rows].sort((one, other) => share(other.no_reps, other.attempts) - share(one.no_reps, one.attempts));
    return { ...of, share: share(of.no_reps, of.attempts), scale, rows: sorted.map((row) => ({ ...row, marks: marks(row, of, scale) })) };
  });
}

// Where the interval, the judge's own share and the field's lie on the scale, in hundredths of its length.
function marks({ no_reps: noReps, attempts, interval }, field, scale) {
  const place = (value) => Math.min(100, (value / scale) * 100);
  const [from, to] = [interval.low_ppm, interval.high_ppm].map((ppm) => place(ppm / MILLION));
  return { from, to, own: place(share(noReps, attempts)), field: place(share(field.no_reps, field.attempts)) };
}

// `2 of 80: 2.5 % (0.7 % to 8.7 %)`.
export function rateText({ no_reps: noReps, attempts, interval }, words) {
  const [low, high] = [interval.low_ppm, interval.high_ppm].map((ppm) => percent(ppm / MILLION, words));
  return words.say("rate-interval", { figures: figuresText(noReps, attempts, words), low, high });
}

export function figuresText(noReps, attempts, words) {
  return words.say("rate-figures", { count: noReps, all: attempts, share: percent(share(noReps, attempts), words) });
}

export function faultText(fault, { attempts }, field, words) {
  const rate = rateText({ ...fault, attempts }, words);
  const name = fault.fault || words.say("fault-unnamed");
  return words.say("rate-fault", { fault: name, rate, field: percent(share(fault.field_no_reps, field.attempts), words) });
}

// What may be brought up at the next briefing, one line each: rates and faults that lie outside of the field.
export function briefing({ field, rates }, words) {
  const lines = [];
  for (const rate of rates) {
    const of = field.find(({ movement }) => movement === rate.movement);
    const who = { judge: nameOf(rate.judge, words), movement: rate.movement };
    const by = (noReps) => percent(share(noReps, of.attempts), words);
    if (rate.outside) lines.push(words.say(`briefing-${rate.outside}`, { ...who, rate: rateText(rate, words), field: by(of.no_reps) }));
    for (const fault of rate.faults || []) {
      if (!fault.outside) continue;
      const name = fault.fault || words.say("fault-unnamed");
      const figures = { fault: name, rate: rateText({ ...fault, attempts: rate.attempts }, words), field: by(fault.field_no_reps) };
      lines.push(words.say(`briefing-fault-${fault.outside}`, { ...who, ...figures }));
    }
  }
  return lines;
}

// Of so many comparisons, how many lie outside by chance.
export function byChance({ comparisons }) {
  return Math.round(comparisons * 0.05);
}

// A movement's agreement as lines: decisions and raw agreement, kappa, and who said what alone.
export function agreementLines(of, words) {
  const { decisions, same, raw, kappa, differ = 0, judge_alone: judge = 0, shadow_alone: shadow = 0 } = of;
  const [low, high] = [raw.low_ppm, raw.high_ppm].map((ppm) => percent(ppm / MILLION, words));
  return [
    words.say("agreement-raw", { count: same, all: decisions, share: percent(share(same, decisions), words), low, high }),
    kappaText(kappa, words),
    words.say("agreement-parts", { differ, judge, shadow }),
  ];
}

function kappaText(kappa, words) {
  if (kappa == null) return words.say("agreement-no-kappa");
  const value = decimal(kappa.ppm, words);
  if (kappa.interval == null) return words.say("agreement-kappa-full", { kappa: value });
  const [low, high] = [kappa.interval.low_ppm, kappa.interval.high_ppm].map((ppm) => decimal(ppm, words));
  return words.say("agreement-kappa", { kappa: value, low, high });
}
