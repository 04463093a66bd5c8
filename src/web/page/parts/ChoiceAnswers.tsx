/** The twelve answers of the valve with the parts of a choice, beside those of now. */
import { Link } from "wouter";
import type { ShownChoice } from "../../state/seek.js";
import { headlineOf } from "../headline.js";
import { css } from "../look.js";
import { Faults } from "../tests/Faults.js";
import { useAnswers, useBench } from "../useBench.js";
import { VerdictMark } from "../VerdictMark.js";

/** @param choice as a state of the dossier of its own */
export function ChoiceAnswers({ choice }: { readonly choice: ShownChoice }) {
  const set = useBench(({ results }) => results.get(choice.key));
  const refused = useBench(({ besideRefused }) =>
    besideRefused?.key === choice.key ? besideRefused.faults : undefined,
  );
  const now = useAnswers();
  const answers = [...(set?.answers.values() ?? [])].toSorted((a, b) => a.answer.number - b.answer.number);
  const isWhole = set?.isLast === true;
  const samples = Math.max(0, ...answers.map((one) => one.samples));
  if (refused !== undefined) return <Faults faults={refused} />;
  return (
    <div aria-busy={!isWhole} data-answers={isWhole ? "whole" : "begun"}>
      <h4>What the twelve questions say with these parts</h4>
      <p role="status">
        {isWhole
          ? `Band from ${samples} openings.`
          : `Being worked out, ${answers.length} of 12 so far; first come the answers of now, and every edit.`}
      </p>
      {answers.length > 0 && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard
        <section className={css.scroll} aria-label={`Answers of choice ${choice.index}`} tabIndex={0}>
          <table>
            <caption className="unseen">
              Answers with the parts of choice {choice.index} beside those of now
            </caption>
            <thead>
              <tr>
                <th scope="col">question</th>
                <th scope="col">now</th>
                <th scope="col">with choice {choice.index}</th>
                <th scope="col">its sentence</th>
              </tr>
            </thead>
            <tbody>
              {answers.map(({ answer }) => {
                const present = now.find((one) => one.answer.number === answer.number);
                return (
                  <tr key={answer.number} data-answer={answer.number}>
                    <th scope="row">
                      <Link href={`/question/${answer.number}`}>
                        {answer.number} {answer.question}
                      </Link>
                    </th>
                    <td>
                      {present === undefined || present.isStale || present.samples === 0 ? (
                        "being worked out"
                      ) : (
                        <VerdictMark verdict={present.answer.verdict} />
                      )}
                    </td>
                    <td>
                      <VerdictMark verdict={answer.verdict} /> <br />
                      {headlineOf(answer)?.number}
                    </td>
                    <td>{answer.sentence}</td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </section>
      )}
    </div>
  );
}
