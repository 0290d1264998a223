const byDay = {{ day_theme|tojson }}, byNight = {{ night_theme|tojson }};
const dark = matchMedia("(prefers-color-scheme: dark)");
const paint = (light) => document.querySelectorAll(".plotly-graph-div").forEach((plot) => Plotly.relayout(plot, light));
const follow = () => paint(dark.matches ? byNight : byDay);
dark.addEventListener("change", follow);
addEventListener("beforeprint", () => paint(byDay));
addEventListener("afterprint", follow);
follow();
