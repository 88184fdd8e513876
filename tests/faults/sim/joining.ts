/* A phone becomes known to the workshop: what the server's page does with a code, or with somebody signed in. */
import type { Phone } from "./phone";
import type { Shift } from "./shift";

type State = { enrolled: boolean; sign_in_again: boolean; revoked: boolean; former: string[] };
type Asked = { headers: Record<string, string>; body: object };

/** Opens the bench as a person does who wants to work; `anew` also where the phone is known already. */
export async function joinShop(shift: Shift, phone: Phone, anew = false): Promise<void> {
  phone.reload();
  const said = await phone.tell("GET", "/bench/device");
  const state = JSON.parse(said.text) as State;
  if (anew || !state.enrolled || state.sign_in_again || state.revoked)
    await enrol(shift, phone, state);
  await phone.tell("POST", "/bench/sync");
}

async function enrol(shift: Shift, phone: Phone, state: State): Promise<void> {
  if (!phone.line.online || shift.world.now < shift.server.downUntil) return;
  const page = phone.openBrowser();
  const { headers, body } = asking(shift, phone);
  const answer = await shift.network
    .fetchFrom(phone, page, "/api/devices", {
      method: "POST",
      headers: { "Content-Type": "application/json", ...headers },
      body: JSON.stringify({ ...body, former: state.former }),
    })
    .then(
      async (response) => ({ ok: response.ok, text: await response.text().catch(() => "") }),
      () => ({ ok: false, text: "" }),
    );
  if (!answer.ok) return;
  const person = shift.shops[phone.wanted]?.people[phone.username];
  const given = parsed(answer.text);
  const taken = await phone.tell("POST", "/bench/device", {
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ ...given, person: given.person ?? person }),
  });
  if (taken.status === 200) shift.world.count("phones enrolled");
}

/** By a code that the manager shows, or by somebody who signs in on the phone. */
function asking(shift: Shift, phone: Phone): Asked {
  const { name, username } = phone;
  if (phone.random.chance(0.5)) {
    const manager = phone.wanted === 0 ? "otto" : "sam";
    const attempt = phone.random.uuid();
    return { headers: {}, body: { secret: shift.server.code(manager, name), name, attempt } };
  }
  const { cookie, csrf } = shift.server.signIn(username);
  return { headers: { Cookie: cookie, "X-CSRFToken": csrf }, body: { name } };
}

function parsed(text: string): { person?: string | null } {
  try {
    return JSON.parse(text) as { person?: string | null };
  } catch {
    return {};
  }
}
