/** On the week sheet: the change by hand that made this draft, and the way back. */
export type ByHandView = {
  /** The plan before it, while there is one. */
  readonly baseId: string | null;
  readonly sentences: readonly string[];
};

export const ByHand = ({
  planId,
  isDraft,
  byHand: { baseId, sentences },
}: {
  readonly planId: string;
  readonly isDraft: boolean;
  readonly byHand: ByHandView;
}) => (
  <section class="change-by-hand" aria-label="Changed by hand">
    <p>
      <strong>Changed by hand:</strong> {sentences.join('; ')}.
    </p>
    {baseId !== null && (
      <div class="actions on-screen">
        {isDraft && (
          <form method="post" action={`/plans/${planId}/take-back`}>
            <button type="submit">Take the change back</button>
          </form>
        )}
        <a href={`/plans/${baseId}/against/${planId}`}>Compare with the plan before</a>
      </div>
    )}
  </section>
);
