// What is said beside a suggestion once a score was chosen: the hand decides, and what counts. The
// same rule as scoring/rules/chosen.py; both are held to fixtures/chosen_cases.json.

const MOST = 10;
const points = (count) => (count / 2).toFixed(1);
const halves = (text) => Math.round(Number(text) * 2);

// low, high and felt are points as text, low and high null where nothing is suggested.
export const beside = ({ low, high, felt, pocket }) => {
  const at = halves(felt);
  const differs = low !== null && (at < halves(low) || at > halves(high));
  const chosen = { felt_score: points(at) };
  const hand = differs ? [["chosen_hand", chosen]] : [];
  if (pocket !== "marked") return hand;
  if (at >= MOST) return [...hand, ["chosen_most", chosen]];
  return [[differs ? "chosen_hand_pocket" : "chosen_pocket", { ...chosen, used_score: points(at + 1) }]];
};
