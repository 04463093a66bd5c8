/** The twelve answers of the valve with the parts of a choice, beside those of now. */
import { Link } from "wouter";
import type { Answer } from "../../../question/index.js";
import type { ShownChoice } from "../../state/seek.js";
import type { ShownAnswer } from "../../state/workbench.js";
import { headlineOf } from "../headline.js";
import { Faults } from "../tests/Faults.js";
import { useAnswers, useBench } from "../useBench.js";
import { VerdictMark } from "../VerdictMark.js";
import { own } from "./look.js";

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
      <h3>What the twelve questions say with the parts of choice {choice.index}</h3>
      <p role="status">
        {isWhole
          ? `Band from ${samples} openings.`
          : `Being worked out, ${answers.length} of 12 so far; first come the answers of now, and every edit.`}
      </p>
      <ol className={own.answers} aria-label={`Answers of choice ${choice.index}`}>
        {answers.map((shown) => (
          <Row
            key={shown.answer.number}
            answer={shown.answer}
            index={choice.index}
            now={now.find((one) => one.answer.number === shown.answer.number)}
          />
        ))}
      </ol>
    </div>
  );
}

function Row({
  answer,
  index,
  now,
}: {
  readonly answer: Answer;
  readonly index: number;
  readonly now: ShownAnswer | undefined;
}) {
  const head = headlineOf(answer);
  const isJudged = now !== undefined && !now.isStale && now.samples > 0;
  return (
    <li data-answer={answer.number}>
      <Link href={`/question/${answer.number}`}>
        {answer.number} {answer.question}
      </Link>
      <div>
        <small>now</small>
        <br />
        {isJudged ? <VerdictMark verdict={now.answer.verdict} /> : "being worked out"}
      </div>
      <div>
        <small>with choice {index}</small>
        <br />
        <VerdictMark verdict={answer.verdict} />
        {head !== undefined && (
          <div>
            {head.number} <small>{head.name}</small>
          </div>
        )}
      </div>
      <p>{answer.sentence}</p>
    </li>
  );
}
