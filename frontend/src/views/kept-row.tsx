/* One line of what is kept: what it says, what is to be known about it, and what can be done. */
import type { Child } from "../html/jsx-runtime";

type RowProps = { words: string; about: string[]; why?: string | undefined; children?: Child };

export function KeptRow({ words, about, why, children }: RowProps) {
  return (
    <li class="step written">
      <div class="step-text stack tight">
        <span>{words}</span>
        {why ? <p class="strong">{why}</p> : null}
        <div class="step-about">
          {about.map((each) => (
            <span>{each}</span>
          ))}
        </div>
        {children}
      </div>
    </li>
  );
}
