// Refuses a file that is far too large before it is sent, and takes one that is dropped on the page.
const form = document.querySelector("form.bring");
const input = form.querySelector("input[type=file]");
const said = document.getElementById("file-said");
const most = Number(form.dataset.most);

function look() {
  const file = input.files[0];
  const tooLarge = Boolean(file) && file.size > most * 0.99;
  said.textContent = tooLarge ? `${file.name} is ${Math.ceil(file.size / 1e6)} MB large, the most is ${Math.floor(most / 1e6)} MB. Export only the list, or split it.` : "";
  input.ariaInvalid = tooLarge ? "true" : null;
  return !tooLarge;
}

input.addEventListener("change", look);
form.addEventListener("submit", (event) => {
  if (look()) return;
  event.preventDefault();
  input.focus();
});
document.addEventListener("dragover", (event) => event.preventDefault());
document.addEventListener("drop", (event) => {
  event.preventDefault();
  if (!event.dataTransfer.files.length) return;
  input.files = event.dataTransfer.files;
  if (look()) form.requestSubmit();
});
