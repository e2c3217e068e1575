// How far the scoring has come, without loading the page again. Without it the
// page has a link that does.
const place = document.querySelector("[data-scoring]");

if (place) {
  const says = place.querySelector("[role=status]");
  const look = async () => {
    const answer = await fetch(place.dataset.scoring, { headers: { Accept: "application/json" } });
    if (!answer.ok) return;
    const state = await answer.json();
    says.textContent = state.says;
    if (state.running || state.asked) setTimeout(look, 2000);
    else location.reload();
  };
  setTimeout(look, 1000);
}
