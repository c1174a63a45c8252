// Speaking with the desk: every answer is {ok, ...} or {ok: false, message, key}. What is said of runs comes with answers and as
// news, in any order: the newest version holds.

const AGAIN = 5000; // [ms] after which news are asked for again where they were refused
const away = { ok: false, key: null, message: "The desk does not answer: it was ended, or its machine sleeps. Start it again, and open the address that it prints." };

let newest = 0;
let changed = () => {};
function hear({ version, jobs }) {
  if (version <= newest) return;
  newest = version;
  changed(jobs);
}

export async function ask(route, body) {
  try {
    const answer = await (await fetch(`api/${route}`, { method: "POST", body: JSON.stringify(body) })).json();
    if (answer.work) hear(answer.work);
    return answer;
  } catch {
    return away;
  }
}

export async function hello() {
  const answer = await (await fetch("api/hello")).json();
  if (answer.work) hear(answer.work);
  return answer;
}

/** Calls `told` with the list of jobs whenever one changes, from now on; finds the desk again by itself. */
export function listen(told) {
  changed = told;
  const source = new EventSource("api/events");
  source.onmessage = ({ data }) => hear(JSON.parse(data));
  source.onerror = () => { if (source.readyState === EventSource.CLOSED) setTimeout(() => listen(told), AGAIN); };
}
