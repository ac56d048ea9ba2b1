/**
 * Asks for a change of something else than a place.
 * @param {Record<string, unknown>} wish
 */
async function build(wish) {
  await settle({ ask: "build", wish });
}

/** @param {View} view */
function showShop(view) {
  const { shop } = view;
  if (!shop) return;
  showChoices("#kinds", shop.kinds);
  showTimes(shop);
  const room = shop.room;
  element("#room").hidden = !room?.size;
  if (room?.size && !element("#room").contains(document.activeElement)) [field("#room-x").value, field("#room-y").value] = room.size;
  element("#fixtures").replaceChildren(...(room?.doors ?? []).map(doorRow), ...(room?.things ?? []).map(thingRow));
  element("#always-open").hidden = !shop.is_always_open;
}

/** @param {string} label @param {string} value */
function lengthField(label, value) {
  const input = document.createElement("input");
  input.type = "text";
  input.value = value;
  input.autocomplete = "off";
  input.setAttribute("aria-label", label);
  return input;
}

/**
 * A row for a door or a thing in the way: its lengths, and what can be done with it.
 * @param {string} shown @param {[string, string][]} lengths with what they are
 * @param {(lengths: string[]) => Record<string, unknown>} put @param {Record<string, unknown>} remove
 */
function fixtureRow(shown, lengths, put, remove) {
  const row = document.createElement("li");
  const form = document.createElement("form");
  const name = document.createElement("bdi");
  name.textContent = shown;
  const fields = lengths.map(([what, value]) => lengthField(`${shown}, ${what}`, value));
  const [move, away] = ["Put it there", "Take it away"].map((words) => {
    const press = document.createElement("button");
    press.textContent = words;
    press.setAttribute("aria-label", `${words}: ${shown}`);
    return press;
  });
  away.type = "button";
  away.addEventListener("click", () => void build(remove));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void build(put(fields.map((length) => length.value)));
  });
  const labelled = fields.map((input, nth) => {
    const label = document.createElement("label");
    label.append(`${lengths[nth][0]} `, input);
    return label;
  });
  form.append(name, ...labelled, move, away);
  row.append(form);
  return row;
}

/** @param {Door} door */
function doorRow({ name, shown, ends }) {
  const [one, other] = ends;
  return fixtureRow(
    shown,
    [["from x", one[0]], ["from y", one[1]], ["to x", other[0]], ["to y", other[1]]],
    ([a, b, c, d]) => ({ build: "put_door", name, ends: [[a, b], [c, d]] }),
    { build: "remove_door", name },
  );
}

/** @param {Thing} thing */
function thingRow({ name, shown, at, size }) {
  return fixtureRow(
    shown,
    [["middle x", at[0]], ["middle y", at[1]], ["along x", size[0]], ["along y", size[1]]],
    ([a, b, c, d]) => ({ build: "put_thing", name, at: [a, b], size: [c, d] }),
    { build: "remove_thing", name },
  );
}

element("#add-stations").addEventListener("submit", (event) => {
  event.preventDefault();
  const said = field("#stations-said").value;
  void build({ build: "stations", said }).then(() => {
    if (element("#refused").hidden) field("#stations-said").value = "";
  });
});
element("#room").addEventListener("submit", (event) => {
  event.preventDefault();
  void build({ build: "room", size: [field("#room-x").value, field("#room-y").value] });
});

/** Takes a station out of the shop. @param {Station | null} station */
function removeStation(station) {
  if (!station) return;
  shown.chosen = null;
  element("#chosen").hidden = true;
  void build({ build: "remove_station", station: station.name });
}

button("#remove-station").addEventListener("click", () => removeStation(stationNamed(shown.chosen)));
floor.addEventListener("keydown", (event) => {
  if (event.key === "Delete") removeStation(stationAt(event.target));
});
