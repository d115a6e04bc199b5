// How judges' phones are doing, as the feed tells it: what stands beside a lane, and what of it needs the head judge.

// A phone lower than this is changed between two heats.
const LOW_PERCENT = 20;
// So many calls that wait are no moment's delay any more.
const MANY_WAITING = 5;

// Whether a phone may not last a heat.
export function isLow({ charge_percent: charge, charging }) {
  return charge != null && charge < LOW_PERCENT && charging !== true;
}

// A lane's phones: the one that holds it first.
export function phonesOf(phones, lane) {
  return phones.filter((phone) => phone.lane === lane);
}

// What needs attention of the phones, in the shape of `attention`.
export function phoneAttention(phones) {
  const found = [];
  const lanes = (what, holds) => found.push(...phones.filter(holds).map(({ lane }) => ({ what, lane })));
  lanes("stands-by", ({ shadow, holds, on_line }) => !shadow && !holds && on_line);
  lanes("phone-low", (phone) => phone.holds && isLow(phone));
  lanes("calls-wait", ({ holds, on_line, waiting }) => holds && on_line && waiting >= MANY_WAITING);
  // Two phones that stand by for a lane are one thing to look at.
  return found.filter((one, index) => found.findIndex(({ what, lane }) => what === one.what && lane === one.lane) === index);
}

// A phone in words: `phone-3fa8 · holds the lane · 81 % · 3 wait · clock within 0.012 s`.
export function phoneText(phone, words) {
  const { device, shadow, holds, on_line, charge_percent: charge, charging, waiting, delay_us, stays_awake } = phone;
  const role = shadow ? "phone-shadow" : holds ? "phone-holds" : "phone-stands-by";
  const parts = [
    device,
    words.say(role),
    on_line ? "" : words.say("phone-off"),
    charge == null ? "" : words.say(charging ? "phone-charging" : "phone-charge", { percent: charge }),
    waiting ? words.say("phone-waiting", { count: waiting }) : "",
    delay_us == null ? "" : words.say("phone-clock", { ms: Math.ceil(delay_us / 2000) }),
    stays_awake === false ? words.say("phone-sleeps") : "",
  ];
  return parts.filter(Boolean).join(" · ");
}
