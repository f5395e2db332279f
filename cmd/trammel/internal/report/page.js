// Moves each drawing through its strokes: every pose was computed when the page was written.
for (const figure of document.querySelectorAll("[data-motion]")) {
  const id = figure.dataset.motion, data = document.getElementById(id + "-tracks");
  if (!data) continue;
  const tracks = JSON.parse(data.textContent), live = document.getElementById(id + "-live"), end = document.getElementById(id + "-end");
  const controls = figure.querySelector(".controls"), slider = figure.querySelector("input"), out = figure.querySelector("output");
  const button = figure.querySelector("button"), select = figure.querySelector("select");
  const uses = live.querySelectorAll("use"), labels = live.querySelectorAll("[data-label]"), springs = live.querySelectorAll(".spring");
  const place = ([x, y, turn]) => `translate(${x} ${y}) rotate(${turn})`;
  let track = tracks[0], run = 0;
  const show = () => {
    const i = Number(slider.value);
    uses.forEach((u, k) => u.setAttribute("transform", place(track.parts[i][k])));
    labels.forEach((l, k) => l.setAttribute("transform", `translate(${track.labels[i][k].join(" ")})`));
    springs.forEach((s, k) => s.setAttribute("d", track.springs[i][k]));
    out.textContent = track.says[i];
    slider.setAttribute("aria-valuetext", track.says[i]);
  };
  const choose = () => {
    track = tracks[select ? select.value : 0];
    const last = track.parts.length - 1;
    slider.max = last;
    end.querySelectorAll("use").forEach((u, k) => u.setAttribute("transform", place(track.parts[last][k])));
    end.querySelectorAll(".spring").forEach((s, k) => s.setAttribute("d", track.springs[last][k]));
    show();
  };
  const stop = () => { cancelAnimationFrame(run); run = 0; button.textContent = "Move"; };
  slider.addEventListener("input", () => { stop(); show(); });
  if (select) select.addEventListener("change", choose);
  button.addEventListener("click", () => {
    if (run) return stop();
    button.textContent = "Hold";
    const began = performance.now(), from = Number(slider.value);
    const step = now => {
      const last = Number(slider.max), at = (from + (now - began) / 3000 * last) % (2 * last);
      slider.value = Math.round(at > last ? 2 * last - at : at);
      show();
      run = requestAnimationFrame(step);
    };
    run = requestAnimationFrame(step);
  });
  controls.hidden = false;
  choose();
}
