// Speaking with the desk: every answer is {ok, ...} or {ok: false, message, key}.

const away = { ok: false, key: null, message: "The desk does not answer: it was ended, or its machine sleeps. Start it again, and open the address that it prints." };

export async function ask(route, body) {
  try {
    const answer = await fetch(`api/${route}`, { method: "POST", body: JSON.stringify(body) });
    return await answer.json();
  } catch {
    return away;
  }
}

export async function hello() {
  const answer = await fetch("api/hello");
  return answer.json();
}

/** Calls `changed` with the list of jobs whenever one changes; finds the desk again by itself. */
export function listen(changed) {
  new EventSource("api/events").onmessage = ({ data }) => changed(JSON.parse(data));
}
