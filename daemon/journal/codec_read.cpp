#include "codec.hpp"
#include "codec_parts.hpp"
#include "object.hpp"

namespace slotwitness::journal {

namespace {

using nlohmann::json;
using witness::Failure;
using witness::Instant;
using witness::NoAnswer;
using Of = witness::StopAnswered::Of;
using witness::Reason;
using witness::Standing;
using witness::Truth;
using witness::Verdict;

state::Kind kind_of(const Object& from, const char* name) {
    const auto kind = state::from_word<state::Kind>(from.text(name));
    if (!kind)
        from.refuse(name, "a kind of component");
    return *kind;
}

witness::RoundStarted round_started(const Object& from) {
    return {from.number<witness::RoundNumber>("round"), from.texts("askings")};
}

witness::RunStarted run_started(const Object& from) {
    witness::RunStarted out;
    out.boot_id = from.text("boot_id");
    out.boottime_ms = from.number<std::int64_t>("boottime_ms");
    out.wall_ms = from.number<std::int64_t>("wall_ms");
    out.wall_synchronised = from.flag("wall_synchronised");
    out.offset_ms = from.number<std::int64_t>("offset_ms");
    out.elapsed_known = from.flag("elapsed_known");
    out.profile = from.text("profile");
    const Object inventory = from.object("inventory");
    for (const auto& [word, names] : from.member("inventory").items()) {
        const auto kind = state::from_word<state::Kind>(word);
        if (!kind)
            inventory.refuse(word.c_str(), "named after a kind of component");
        out.inventory[*kind] = inventory.texts(word.c_str());
    }
    if (from.has("peak_load")) // not in journals of semantics 1
        out.peak_load = from.optional("peak_load", [&](const char* name) {
            const auto load = units::Decimal::parse(from.text(name));
            if (!load)
                from.refuse(name, "a decimal number in a string");
            return *load;
        });
    if (!from.has("lost")) // not in journals of semantics 2
        return out;
    for (const Object& loss : from.objects("lost"))
        out.lost.push_back({loss.text("procedure"),
                            loss.word("of", {Of::rule, Of::step, Of::cooling}), loss.text("name")});
    out.cut =
        from.optional("cut", [&](const char* name) { return round_started(from.object(name)); });
    return out;
}

witness::Answered answered(const Object& from) {
    witness::Answered out;
    out.round = from.number<witness::RoundNumber>("round");
    out.asking = from.text("asking");
    out.asked = from.instant("asked");
    out.capture = from.text("capture");
    const Object ending = from.object("ending");
    out.ending.ended = ending.flag("ended");
    out.ending.exit_status =
        ending.optional("exit_status", [&](const char* name) { return ending.small<int>(name); });
    out.ending.remark = ending.text("remark");
    out.ending.proven = ending.flag("proven");
    return out;
}

witness::Failed failed(const Object& from) {
    witness::Failed out;
    out.round = from.number<witness::RoundNumber>("round");
    out.asking = from.text("asking");
    out.asked = from.instant("asked");
    out.why = from.word(
        "why", {NoAnswer::unreachable, NoAnswer::host_key, NoAnswer::credential, NoAnswer::locked,
                NoAnswer::aaa, NoAnswer::no_line, NoAnswer::wrong_chassis, NoAnswer::session_lost,
                NoAnswer::timed_out, NoAnswer::refused, NoAnswer::guarded, NoAnswer::internal});
    out.remark = from.text("remark");
    return out;
}

witness::GateOpened gate_opened(const Object& from) {
    witness::GateOpened out;
    out.id = from.text("id");
    out.sentence = from.text("sentence");
    out.askings = from.texts("askings");
    out.gap = from.duration("gap_ms");
    out.refresh = from.duration("refresh_ms");
    out.guard = from.duration("guard_ms");
    out.by = from.text("by");
    out.idempotency_key = from.text("idempotency_key");
    return out;
}

witness::GateClosed gate_closed(const Object& from) {
    return {from.text("id"), from.text("by")};
}

witness::BaselineWanted baseline_wanted(const Object& from) {
    return {from.texts("askings"), from.text("by")};
}

witness::SessionOpened session_opened(const Object& from) {
    return {from.text("address"),      from.text("host_key"),  from.text("serial"),
            from.text("key_exchange"), from.text("signature"), from.text("cipher_to"),
            from.text("cipher_from"),  from.text("mac_to"),    from.text("mac_from"),
            from.texts("weak")};
}

witness::GateFinding gate_finding(const Object& from) {
    const auto time = [&](const char* name) { return from.rfc3339(name); };
    witness::GateFinding out;
    out.id = from.text("id");
    out.sentence = from.text("sentence");
    out.verdict =
        from.word("verdict", {Verdict::pending, Verdict::pass, Verdict::fail, Verdict::cancelled});
    out.failure = from.optional("failure", [&](const char* name) {
        return from.word(name, {Failure::seen_false, Failure::not_seen});
    });
    out.standing = from.optional("standing", [&](const char* name) {
        return from.word(name,
                         {Standing::met, Standing::settling, Standing::lost, Standing::unseen});
    });
    out.truth = from.word("truth", {Truth::no, Truth::unknown, Truth::yes});
    out.because = read_because(from.object("because"));
    out.opened = time("opened");
    out.deadline = from.optional("deadline", time);
    out.decided = from.optional("decided", time);
    out.last_look = from.optional("last_look", [&](const char* name) {
        const Object look = from.object(name);
        return witness::Look{look.rfc3339("asked"), look.rfc3339("answered")};
    });
    out.held = from.seconds("held_s");
    out.needs = from.seconds("needs_s");
    out.guarded = from.flag("guarded");
    out.retired = from.flag("retired");
    out.valid_until = from.optional("valid_until", time).value_or(Instant::max());
    return out;
}

witness::RoundMissed round_missed(const Object& from) {
    return {from.number<witness::RoundNumber>("round"), from.texts("gates"), from.text("text")};
}

state::Problem problem(const Object& from) {
    const Object at = from.object("at");
    return {from.text("where"),
            {at.small<std::size_t>("line"), at.small<std::size_t>("column")},
            from.text("found"),
            from.text("expected"),
            from.text("remedy")};
}

witness::InventoryFixed inventory_fixed(const Object& from) {
    return {kind_of(from, "kind"), from.texts("names")};
}

witness::BaselineFixed baseline_fixed(const Object& from) {
    witness::BaselineFixed out{
        from.number<witness::RoundNumber>("round"), from.rfc3339("at"), {}, from.text("by")};
    for (const Object& one : from.objects("captures"))
        out.captures.emplace(one.text("asking"), one.text("capture"));
    return out;
}

witness::SwitchedOver switched_over(const Object& from) {
    using Of = witness::SwitchedOver::Of;
    return {from.word("of", {Of::controller, Of::address}), from.text("from"), from.text("to")};
}

witness::Finding finding(const Object& from) {
    const std::string& type = from.text("type");
    if (type == "gate")
        return gate_finding(from);
    if (type == "round.missed")
        return round_missed(from);
    if (type == "gate.refused")
        return witness::GateRefused{from.text("id"), problem(from)};
    if (type == "inventory.fixed")
        return inventory_fixed(from);
    if (type == "procedure.refused")
        return witness::ProcedureRefused{from.text("procedure"), problem(from)};
    if (auto work = read_work(type, from))
        return std::move(*work);
    if (type == "switched_over")
        return switched_over(from);
    if (type == "baseline.fixed")
        return baseline_fixed(from);
    from.refuse("type", "a type of finding that this version knows");
}

Decoded decoded(const Object& line) {
    Decoded out;
    out.event.at = line.instant("at");
    const Object event = line.object("event");
    const std::string& type = line.text("type");
    if (type == "run.started") {
        out.event.what = run_started(event);
        out.semantics = event.small<int>("semantics");
    } else if (type == "round.started") {
        out.event.what = round_started(event);
    } else if (type == "answer") {
        out.event.what = answered(event);
        out.reading_digest = event.text("reading");
    } else if (type == "look.failed") {
        out.event.what = failed(event);
    } else if (type == "gate.opened") {
        out.event.what = gate_opened(event);
    } else if (type == "gate.closed") {
        out.event.what = gate_closed(event);
    } else if (type == "baseline.wanted") {
        out.event.what = baseline_wanted(event);
    } else if (type == "session.opened") {
        out.event.what = session_opened(event);
    } else if (type == "tick") {
        out.event.what = witness::Tick{};
    } else if (!read_work(type, event, out.event)) {
        line.refuse("type", "a type of event that this version knows");
    }
    for (const Object& one : line.objects("findings"))
        out.findings.push_back(finding(one));
    return out;
}

} // namespace

witness::Because read_because(const Object& from) {
    witness::Because out;
    out.reason = from.word("reason", {Reason::not_looked_yet,
                                      Reason::true_now,
                                      Reason::holding,
                                      Reason::false_now,
                                      Reason::unknown_word,
                                      Reason::not_read,
                                      Reason::not_whole,
                                      Reason::not_proven,
                                      Reason::contradiction,
                                      Reason::not_listed,
                                      Reason::no_inventory,
                                      Reason::nothing_to_range_over,
                                      Reason::fact_missing,
                                      Reason::no_baseline,
                                      Reason::nothing_earlier,
                                      Reason::no_answer,
                                      Reason::state_moved,
                                      Reason::missed_look,
                                      Reason::gap,
                                      Reason::deadline_passed,
                                      Reason::time_unknown,
                                      Reason::cancelled});
    out.text = from.text("text");
    for (const Object& cite : from.objects("cites"))
        out.cites.push_back({cite.text("asking"),
                             cite.text("capture"),
                             {cite.small<std::size_t>("line"), cite.small<std::size_t>("column")},
                             cite.text("text")});
    return out;
}

tl::expected<Decoded, std::string> from_line(std::string_view line) {
    const json value = json::parse(line, nullptr, false);
    if (value.is_discarded())
        return tl::unexpected(std::string("the line is not JSON"));
    try {
        return decoded(Object(value, ""));
    } catch (const BadMember& bad) {
        return tl::unexpected(bad.text);
    }
}

} // namespace slotwitness::journal
