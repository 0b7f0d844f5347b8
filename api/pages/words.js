// The one word for people at work, as every page shows it: pure, no DOM, no clock.

/** Milliseconds of the daemon's clock; null where there is none. */
export const time = (text) => (text ? Date.parse(text) : null);

/** Each word with the name of its shape (base.css): text and shape say it, never colour alone. */
export const shapes = { 'STATE MET': 'met', WAIT: 'wait', CALL: 'call', STOP: 'stop' };

/** The word of a procedure as of now; nothing softens STOP and CALL. `heard`: when the daemon answered last. */
export function wordNow(procedure, now, heard, patience = 5_000) {
  if (procedure.word !== 'STATE MET') return { word: procedure.word, text: procedure.text };
  if (now - heard > patience) return { word: 'WAIT', text: 'The daemon does not answer.' };
  if (procedure.unrecorded) return { word: 'WAIT', text: 'The journal cannot take what the device says.' };
  const until = time(procedure.valid_until);
  if (until === null || now > until) return { word: 'WAIT', text: 'The last look is too old to act upon.' };
  return { word: procedure.word, text: procedure.text };
}
