"use strict";
// The key is spent by a button, so that a preview of the link does not use it up.
document.getElementById("enter").addEventListener("click", async () => {
  const key = new URLSearchParams(location.search).get("key") || "";
  const answer = await fetch("/key", {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ key }),
  });
  if (answer.ok) location.replace("/");
  else document.getElementById("said").textContent = (await answer.json()).said;
});
