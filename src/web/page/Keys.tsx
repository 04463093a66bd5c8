/** The list of keys. */
const keys: readonly (readonly [string, string])[] = [
  ["1 to 9, 0, -, =", "questions 1 to 9, 10, 11, 12"],
  ["o", "overview"],
  ["v", "values"],
  ["t", "tests"],
  ["p", "other parts"],
  ["c", "variants side by side"],
  ["k", "keep the present state as a variant"],
  ["Ctrl Z, Ctrl Shift Z", "undo, redo"],
  ["Ctrl S", "save"],
  ["Enter, Escape in a field", "take what was typed, or go back to what stands in the file"],
  ["arrow keys on a slider", "what if the value were different"],
  ["arrow keys on the slider below the time series", "crosshair"],
  ["+, -, Page Up, Page Down on that slider", "zoom in and out, later and earlier"],
  ["arrow keys on the slider of a moved event", "a tenth of a millisecond either way"],
  ["arrow keys on the slider below the choices", "the next choice, the one before"],
  ["?", "this list"],
];

/** Every key the page knows. */
export function Keys() {
  return (
    <>
      <h2>Keys</h2>
      <table>
        <caption className="unseen">Keys and what they do</caption>
        <thead>
          <tr>
            <th scope="col">key</th>
            <th scope="col">does</th>
          </tr>
        </thead>
        <tbody>
          {keys.map(([key, words]) => (
            <tr key={key}>
              <th scope="row">{key}</th>
              <td>{words}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
