// What an engineer must know of the router session, from what the daemon told of its chassis and the time it is: pure.
import { localTime } from "./parts.js";
import { span, time } from "./times.js";

/// How old is what is shown, and why it is no newer.
export function lookText(chassis, now) {
    const said = [];
    const isLost = chassis.session !== "connected";
    if (isLost) said.push(sentence(`Router session ${[chassis.session, chassis.session_text].filter(Boolean).join(": ")}`));
    if (isLost && chassis.in_band && chassis.reached)
        said.push("It runs through this chassis' own fabric: the work itself may have ended it.");
    if (chassis.held_up) said.push(`Looks are held up: ${sentence(chassis.held_up)}`);
    const seen = time(chassis.last_answer);
    if (seen === null) said.push("No answer yet.");
    else said.push(`Last look ${span(now - seen)} ago${isOld(chassis, now) ? ": too old to act on" : ""}.`);
    return said.join(" ");
}

/// Where the session leads, who answers there, and since when: {way, inBand, active, switchover}, each a sentence, or
/// empty where there is nothing to tell.
export function sessionView(chassis, now) {
    const { reached, session, switchover } = chassis;
    return {
        way: reached && session === "connected" ? `Router session with ${reached.address} since ${localTime(reached.since)}.` : "",
        inBand: chassis.in_band
            ? "In-band, as declared in the configuration: it runs through this chassis' own fabric, so the work itself may end it."
            : "",
        active: activeText(chassis, now),
        switchover: switchover ? switchoverText(switchover) : "",
    };
}

const isOld = (chassis, now) => !(now <= time(chassis.valid_until));

/// The controllers that serve (RFC 8348: providing-service), as a whole answer of the device lists them.
function activeText(chassis, now) {
    const serve = (chassis.components.controller ?? []).filter((row) => row.whole && row.facts.standby?.value === "providing-service");
    const names = [...new Set(serve.map((row) => row.name))].join(", ");
    if (!names) return "";
    return `${isOld(chassis, now) ? "At the last look the device reported" : "The device reports"} ${names} as active controller.`;
}

const switchoverText = ({ at, of, from, to }) =>
    of === "controller"
        ? `Switchover at ${localTime(at)}: controller ${to} is active, ${from} was before.`
        : `Switchover at ${localTime(at)}: address ${to} answers, ${from} did before.`;

const sentence = (text) => (/[.!?]$/.test(text) ? text : `${text}.`);
