/** Kept states side by side with the present one. */
import { Link } from "wouter";
import { dropVariant, takeVariant } from "../state/acts.js";
import { saveVariant } from "../state/disk.js";
import { headlineOf } from "./headline.js";
import { css } from "./look.js";
import { useAnswers, useBench } from "./useBench.js";
import { VerdictMark } from "./VerdictMark.js";

/** The comparison. */
export function Variants() {
  const variants = useBench((bench) => bench.variants);
  const saved = useBench((bench) => bench.savedVariants);
  const answers = useAnswers();
  if (variants.length === 0)
    return <p>No variant is kept yet. "Keep as variant" keeps the values and answers of now.</p>;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard
    <section className={css.scroll} aria-label="Kept variants" tabIndex={0}>
      <table>
        <caption className="unseen">Kept variants beside the present values</caption>
        <thead>
          <tr>
            <th scope="col">question</th>
            <th scope="col">now</th>
            {variants.map((variant) => (
              <th scope="col" key={variant.name}>
                {variant.name}
                <div className={css.acts}>
                  <button type="button" onClick={() => takeVariant(variant)}>
                    Take {variant.name}
                  </button>
                  <button type="button" onClick={() => void saveVariant(variant)}>
                    Save {variant.name} as a file
                  </button>
                  <button type="button" onClick={() => dropVariant(variant.name)}>
                    Drop {variant.name}
                  </button>
                </div>
                {variant.choice !== undefined && (
                  <Link href={`/parts/${variant.choice}`}>Its numbers in the search</Link>
                )}
                {saved[variant.name] !== undefined && <small>Saved as {saved[variant.name]}</small>}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {answers.map(({ answer, isStale }) => (
            <tr key={answer.number}>
              <th scope="row">
                {answer.number} {answer.question}
              </th>
              <td>
                {isStale ? "being worked out again" : <VerdictMark verdict={answer.verdict} />}{" "}
                {headlineOf(answer)?.number}
              </td>
              {variants.map(({ name, verdicts }) => {
                const kept = verdicts.find(({ number }) => number === answer.number);
                return (
                  <td key={name}>
                    {kept !== undefined && <VerdictMark verdict={kept.verdict} />} {kept?.words}
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
