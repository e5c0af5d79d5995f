// The worker that stretches passphrases: loads the program the page runs and lets it answer.
// Questions that come before it is ready wait their turn.
const early = [];
onmessage = async (event) => {
  if (typeof event.data === "string") {
    early.push(event);
    return;
  }
  const { script, program } = event.data;
  onmessage = (later) => early.push(later);
  const { default: start } = await import(script);
  await start({ module_or_path: program });
  for (const one of early) onmessage(one);
};
