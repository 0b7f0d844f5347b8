// Instants and durations as people read them: pure. Instants are milliseconds of the daemon's clock.

/// Null where there is none.
export const time = (text) => (text ? Date.parse(text) : null);

/// "3 s", "12 min", "3 h": how long, in one figure.
export function span(ms) {
    const s = Math.max(0, Math.round(ms / 1000));
    if (s < 100) return `${s} s`;
    if (s < 100 * 60) return `${Math.round(s / 60)} min`;
    return `${Math.round(s / 3600)} h`;
}

/// "15:04:05" in the reader's own time zone.
export const clock = (at, seconds = true) =>
    new Date(at).toLocaleTimeString("en", {
        hourCycle: "h23",
        hour: "2-digit",
        minute: "2-digit",
        ...(seconds ? { second: "2-digit" } : {}),
    });

/// "9:05", "1:02:03", "−0:12": a clock that runs down.
export function countdown(ms) {
    const left = Math.trunc(Math.abs(ms) / 1000);
    const two = (n) => String(n).padStart(2, "0");
    const hours = Math.floor(left / 3600);
    const minutes = Math.floor(left / 60) % 60;
    const text = hours ? `${hours}:${two(minutes)}:${two(left % 60)}` : `${minutes}:${two(left % 60)}`;
    return ms < 0 ? `−${text}` : text;
}
