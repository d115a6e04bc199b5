// Who this phone is to the feed: from the address behind its # (as a QR code gives it), from what was kept, or typed
// in. An access key is kept for the lane; a PIN is exchanged for one. Leaves the work on the lane to `session`.

import { deviceName, fragment, keep, kept } from "../common/device.js";
import { Link } from "../common/link.js";

const KEPT = "fivemark.judge";
// A PIN that is not answered in this time has no link to be answered on, milliseconds.
const PIN_WITHIN_MS = 10_000;

export const DEVICE = deviceName("phone");

// What a join says: `{ role, lane, access_key }`; null while nothing is known. What stands behind the # is taken out of
// the address at once.
export function identity() {
  const { access_key, lane, role } = fragment();
  if (access_key !== undefined) {
    history.replaceState(null, "", location.pathname + location.search);
    const given = checked({ role: role || "lane_judge", lane: Number(lane), access_key });
    if (given) remember(given);
  }
  try {
    return checked(JSON.parse(kept(KEPT)));
  } catch {
    return null;
  }
}

// The PIN that a printed card's code has behind the #: `{ role, pin }`; null if there is none. It is taken out of the address
// at once.
export function givenPin() {
  const { pin, role } = fragment();
  if (pin === undefined) return null;
  history.replaceState(null, "", location.pathname + location.search);
  return { pin, role: role === "shadow_judge" ? role : "lane_judge" };
}

function checked(said) {
  const judges = ["lane_judge", "shadow_judge"];
  const fits = said && judges.includes(said.role) && said.lane >= 1 && typeof said.access_key === "string" && said.access_key;
  return fits ? said : null;
}

export function remember(said) {
  return keep(KEPT, JSON.stringify(said));
}

export function forget() {
  keep(KEPT, "null");
}

// The join of an identity. A lane that another phone holds is waited for and not fought for.
export function joining({ role, lane, access_key }) {
  return { role, lane, access_key, device: DEVICE, ...(role === "lane_judge" && { stand_by: true }) };
}

// Exchanges a PIN for an identity in that role. Fails with the feed's refusal, or `{ code: "no_link" }`.
export function byPin({ role, pin }, { within = PIN_WITHIN_MS, open } = {}) {
  return new Promise((resolve, reject) => {
    const end = (settle, value) => {
      clearTimeout(late);
      link.stop();
      settle(value);
    };
    const hear = (message) => {
      if (message.type === "welcome") end(resolve, { role: message.role, lane: message.lane, access_key: message.access_key });
      if (message.type === "refusal" && message.of === "join") end(reject, message);
    };
    const link = new Link({ join: () => ({ role, pin, device: DEVICE, ...(role === "lane_judge" && { stand_by: true }) }), hear, ...(open && { open }) });
    const late = setTimeout(() => end(reject, { code: "no_link", says: "" }), within);
    link.start();
  });
}
