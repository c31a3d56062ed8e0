/** Enter or space on something that is not a button by birth. @param {KeyboardEvent} event */
export function pressed(event) {
  if (event.key !== "Enter" && event.key !== " ") return false;
  event.preventDefault();
  return true;
}
