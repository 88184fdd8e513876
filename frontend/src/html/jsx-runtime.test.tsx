import { expect, test } from "vitest";
import type { Child } from "./jsx-runtime";

function Row({ name, children }: { name: string; children?: Child }) {
  return (
    <li class={name}>
      {name}: {children}
    </li>
  );
}

test("text and attributes are escaped, whoever wrote them", () => {
  const wrote = `<b title="x">'&`;

  expect(String(<p title={wrote}>{wrote}</p>)).toBe(
    '<p title="&lt;b title=&quot;x&quot;&gt;&#39;&amp;">&lt;b title=&quot;x&quot;&gt;&#39;&amp;</p>',
  );
});

test("something that only looks like drawn HTML is text", () => {
  const forged = { text: "<script>", toString: () => "<script>" } as unknown as Child;

  expect(String(<p>{forged}</p>)).toBe("<p>&lt;script&gt;</p>");
});

test("components and lists are drawn in order, and nothing is nothing", () => {
  const pair = (
    <>
      <li>three</li>
      <li>four</li>
    </>
  );

  expect(
    String(
      <ul>
        {["one", "two"].map((name) => (
          <Row name={name}>{0}</Row>
        ))}
        {null}
        {undefined}
        {false}
        {pair}
      </ul>,
    ),
  ).toBe(
    '<ul><li class="one">one: 0</li><li class="two">two: 0</li><li>three</li><li>four</li></ul>',
  );
});

test("true is a bare attribute, false and nothing leave it out", () => {
  expect(String(<input hidden checked={false} value={undefined} tabindex={-1} />)).toBe(
    '<input hidden="" tabindex="-1">',
  );
});

test("only elements that have none go without an end tag", () => {
  expect(
    String(
      <>
        <br />
        <script src="/page.js"></script>
        <svg aria-hidden="true">
          <path d="M0 0" />
        </svg>
      </>,
    ),
  ).toBe(
    '<br><script src="/page.js"></script><svg aria-hidden="true"><path d="M0 0"></path></svg>',
  );
});
