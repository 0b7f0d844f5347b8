// The report of a section that is a script: entries with what is wanted of them, as a table or as JSON, and the exit code.
export function report(entries, notes, { quick, json }) {
    for (const entry of entries) {
        const value = entry.ratio ?? entry.ours;
        entry.holds = quick || (value >= (entry.at_least ?? value) && value <= (entry.at_most ?? value));
    }
    if (json) console.log(JSON.stringify({ entries, notes }, null, 2));
    else {
        const number = (value) => (value === undefined ? "" : value >= 100 ? String(Math.round(value)) : value.toFixed(2));
        for (const { what, unit, ours, peer, theirs, ratio, at_least, at_most, holds } of entries)
            console.log(`${what.padEnd(60)}${number(ours).padStart(9)} ${unit.padEnd(6)}` +
                (peer ? ` ${peer} ${number(theirs)}, ratio ${number(ratio)}` : "") +
                (at_least !== undefined ? ` wanted ≥ ${at_least}` : at_most !== undefined ? ` wanted ≤ ${at_most}` : "") + (holds ? "" : "  MISSED"));
        for (const note of notes) console.log(`\n${note}`);
    }
    process.exitCode = entries.every((entry) => entry.holds) ? 0 : 1;
}

const sorted = (values) => [...values].sort((a, b) => a - b);
export const quantile = (values, part) => sorted(values)[Math.min(values.length - 1, Math.floor(values.length * part))];
export const median = (values) => quantile(values, 0.5);
