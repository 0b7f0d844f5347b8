#include "codec.hpp"
#include "codec_parts.hpp"
#include "utf8.hpp"

#include <slotwitness/witness/witness.hpp>

#include <type_traits>

namespace slotwitness::journal {

namespace {

using nlohmann::json;
using witness::Duration;
using witness::Instant;

json number(std::int64_t value) {
    return std::to_string(value);
}
json number(std::uint64_t value) {
    return std::to_string(value);
}
json milliseconds(Instant at) {
    return number(std::int64_t{at.time_since_epoch().count()});
}
json milliseconds(Duration duration) {
    return number(std::int64_t{duration.count()});
}

json texts(const std::vector<std::string>& values) {
    json out = json::array();
    for (const std::string& value : values)
        out.push_back(as_utf8(value));
    return out;
}

json position(const state::Position& at) {
    return {{"line", at.line}, {"column", at.column}};
}

json seconds(Duration duration) {
    const auto count = duration.count();
    if (count % 1000 == 0)
        return count / 1000;
    return static_cast<double>(count) / 1000;
}

/// The last instant that RFC 3339 can write: its years have four digits.
constexpr Instant last_of_9999{
    std::chrono::sys_days{std::chrono::year{10000} / 1 / 1}.time_since_epoch() - Duration{1}};

template <class Value, class Write>
json or_null(const std::optional<Value>& value, Write write) {
    return value ? json(write(*value)) : json(nullptr);
}

constexpr auto word = [](auto value) { return std::string(to_word(value)); };

json write(const witness::RoundStarted& round) {
    return {{"round", number(round.round)}, {"askings", texts(round.askings)}};
}

json write(const witness::UnrecordedLoss& loss) {
    return {{"procedure", as_utf8(loss.procedure)},
            {"of", to_word(loss.of)},
            {"name", as_utf8(loss.name)}};
}

json write(const witness::RunStarted& run) {
    json inventory = json::object();
    for (const auto& [kind, names] : run.inventory)
        inventory[std::string(to_word(kind))] = texts(names);
    json lost = json::array();
    for (const witness::UnrecordedLoss& loss : run.lost)
        lost.push_back(write(loss));
    return {{"boot_id", as_utf8(run.boot_id)},
            {"boottime_ms", number(run.boottime_ms)},
            {"wall_ms", number(run.wall_ms)},
            {"wall_synchronised", run.wall_synchronised},
            {"offset_ms", number(run.offset_ms)},
            {"elapsed_known", run.elapsed_known},
            {"profile", as_utf8(run.profile)},
            {"inventory", std::move(inventory)},
            {"lost", std::move(lost)},
            {"peak_load", or_null(run.peak_load, [](const auto& load) { return load.to_text(); })},
            {"cut", or_null(run.cut, [](const auto& round) { return write(round); })},
            {"semantics", witness::semantics_version}};
}

json write(const witness::Answered& answer) {
    json ending = {
        {"ended", answer.ending.ended},
        {"exit_status", or_null(answer.ending.exit_status, [](int status) { return status; })},
        {"remark", as_utf8(answer.ending.remark)},
        {"proven", answer.ending.proven}};
    return {{"round", number(answer.round)},
            {"asking", as_utf8(answer.asking)},
            {"asked", milliseconds(answer.asked)},
            {"capture", as_utf8(answer.capture)},
            {"ending", std::move(ending)},
            {"reading", answer.reading ? digest_of(*answer.reading) : std::string()}};
}

json write(const witness::Failed& failed) {
    return {{"round", number(failed.round)},
            {"asking", as_utf8(failed.asking)},
            {"asked", milliseconds(failed.asked)},
            {"why", word(failed.why)},
            {"remark", as_utf8(failed.remark)}};
}

json write(const witness::GateOpened& gate) {
    return {{"id", as_utf8(gate.id)},
            {"sentence", as_utf8(gate.sentence)},
            {"askings", texts(gate.askings)},
            {"gap_ms", milliseconds(gate.gap)},
            {"refresh_ms", milliseconds(gate.refresh)},
            {"guard_ms", milliseconds(gate.guard)},
            {"by", as_utf8(gate.by)},
            {"idempotency_key", as_utf8(gate.idempotency_key)}};
}

json write(const witness::GateClosed& gate) {
    return {{"id", as_utf8(gate.id)}, {"by", as_utf8(gate.by)}};
}

json write(const witness::BaselineWanted& wanted) {
    return {{"askings", texts(wanted.askings)}, {"by", as_utf8(wanted.by)}};
}

json write(const witness::SessionOpened& session) {
    return {{"address", as_utf8(session.address)},
            {"host_key", as_utf8(session.host_key)},
            {"serial", as_utf8(session.serial)},
            {"key_exchange", as_utf8(session.key_exchange)},
            {"signature", as_utf8(session.signature)},
            {"cipher_to", as_utf8(session.cipher_to)},
            {"cipher_from", as_utf8(session.cipher_from)},
            {"mac_to", as_utf8(session.mac_to)},
            {"mac_from", as_utf8(session.mac_from)},
            {"weak", texts(session.weak)}};
}

json write(const witness::Tick&) {
    return json::object();
}

constexpr std::string_view type_of(const witness::RunStarted&) {
    return "run.started";
}
constexpr std::string_view type_of(const witness::RoundStarted&) {
    return "round.started";
}
constexpr std::string_view type_of(const witness::Answered&) {
    return "answer";
}
constexpr std::string_view type_of(const witness::Failed&) {
    return "look.failed";
}
constexpr std::string_view type_of(const witness::GateOpened&) {
    return "gate.opened";
}
constexpr std::string_view type_of(const witness::GateClosed&) {
    return "gate.closed";
}
constexpr std::string_view type_of(const witness::BaselineWanted&) {
    return "baseline.wanted";
}
constexpr std::string_view type_of(const witness::SessionOpened&) {
    return "session.opened";
}
constexpr std::string_view type_of(const witness::Tick&) {
    return "tick";
}

json write(const witness::Look& look) {
    return {{"asked", rfc3339(look.asked)}, {"answered", rfc3339(look.answered)}};
}

json finding(const witness::GateFinding& gate) {
    json out = to_json(gate);
    out["type"] = "gate";
    return out;
}

json finding(const witness::RoundMissed& missed) {
    return {{"type", "round.missed"},
            {"round", number(missed.round)},
            {"gates", texts(missed.gates)},
            {"text", as_utf8(missed.text)}};
}

json refused(const char* type, const char* what, const std::string& id,
             const state::Problem& problem) {
    return {{"type", type},
            {what, as_utf8(id)},
            {"where", as_utf8(problem.where)},
            {"at", position(problem.at)},
            {"found", as_utf8(problem.found)},
            {"expected", as_utf8(problem.expected)},
            {"remedy", as_utf8(problem.remedy)}};
}

json finding(const witness::GateRefused& gate) {
    return refused("gate.refused", "id", gate.id, gate.problem);
}

json finding(const witness::ProcedureRefused& procedure) {
    return refused("procedure.refused", "procedure", procedure.procedure, procedure.problem);
}

json finding(const witness::InventoryFixed& inventory) {
    return {{"type", "inventory.fixed"},
            {"kind", word(inventory.kind)},
            {"names", texts(inventory.names)}};
}

json finding(const witness::SwitchedOver& switched) {
    return {{"type", "switched_over"},
            {"of", word(switched.of)},
            {"from", as_utf8(switched.from)},
            {"to", as_utf8(switched.to)}};
}

json finding(const witness::BaselineFixed& baseline) {
    json captures = json::array();
    for (const auto& [asking, capture] : baseline.captures)
        captures.push_back({{"asking", as_utf8(asking)}, {"capture", as_utf8(capture)}});
    return {{"type", "baseline.fixed"},
            {"round", number(baseline.round)},
            {"at", rfc3339(baseline.at)},
            {"captures", std::move(captures)},
            {"by", as_utf8(baseline.by)}};
}

} // namespace

json rfc3339(Instant at) {
    if (at > last_of_9999)
        return nullptr;
    return units::to_rfc3339(at);
}

json write_because(const witness::Because& because) {
    json cites = json::array();
    for (const witness::Cite& cite : because.cites)
        cites.push_back({{"asking", as_utf8(cite.asking)},
                         {"capture", as_utf8(cite.capture)},
                         {"line", cite.at.line},
                         {"column", cite.at.column},
                         {"text", as_utf8(cite.text)}});
    return {{"reason", word(because.reason)},
            {"text", as_utf8(because.text)},
            {"cites", std::move(cites)}};
}

json to_json(const witness::GateFinding& finding) {
    return {{"id", as_utf8(finding.id)},
            {"sentence", as_utf8(finding.sentence)},
            {"verdict", word(finding.verdict)},
            {"failure", or_null(finding.failure, word)},
            {"standing", or_null(finding.standing, word)},
            {"truth", word(finding.truth)},
            {"because", write_because(finding.because)},
            {"opened", rfc3339(finding.opened)},
            {"deadline", or_null(finding.deadline, rfc3339)},
            {"decided", or_null(finding.decided, rfc3339)},
            {"last_look",
             or_null(finding.last_look, [](const witness::Look& look) { return write(look); })},
            {"held_s", seconds(finding.held)},
            {"needs_s", seconds(finding.needs)},
            {"guarded", finding.guarded},
            {"retired", finding.retired},
            {"valid_until", rfc3339(finding.valid_until)}};
}

json to_body(const witness::Event& event, const std::vector<witness::Finding>& findings) {
    json out = {{"at", milliseconds(event.at)}, {"findings", json::array()}};
    if (const auto type = work_type(event); !type.empty()) {
        out["type"] = type;
        out["event"] = write_work(event);
    } else {
        std::visit(
            [&out](const auto& what) {
                if constexpr (requires { type_of(what); }) {
                    out["type"] = type_of(what);
                    out["event"] = write(what);
                }
            },
            event.what);
    }
    for (const witness::Finding& one : findings) {
        json& found = out["findings"].emplace_back();
        if (const auto type = work_type(one); !type.empty()) {
            found = write_work(one);
            found["type"] = type;
        } else {
            std::visit(
                [&found](const auto& value) {
                    if constexpr (requires { finding(value); })
                        found = finding(value);
                },
                one);
        }
    }
    return out;
}

} // namespace slotwitness::journal
