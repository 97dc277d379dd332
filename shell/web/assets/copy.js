// A message is copied by one tap. Where the browser allows no copying (a plain address), the text stands selected and the old way is tried; where that
// fails too, the page says that it is selected.

for (const button of document.querySelectorAll("[data-copies]")) {
  button.hidden = false;
  button.addEventListener("click", async () => {
    const text = document.getElementById(button.dataset.copies);
    for (const one of document.querySelectorAll("[data-copied]")) one.hidden = true;
    getSelection().selectAllChildren(text);
    let done = false;
    try {
      await navigator.clipboard.writeText(text.textContent);
      done = true;
    } catch { done = document.execCommand("copy"); }
    button.parentElement.querySelector(`[data-copied="${done ? "yes" : "no"}"]`).hidden = false;
  });
}
