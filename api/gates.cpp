#include "gates.hpp"

#include "body.hpp"
#include "limits.hpp"
#include "negotiation.hpp"
#include "page.hpp"
#include "problem.hpp"
#include "shown.hpp"

#include <slotwitness/journal/codec.hpp>
#include <slotwitness/units/time.hpp>

#include <algorithm>
#include <array>

namespace slotwitness::api {

namespace {

nlohmann::json to_json(const desk::GateView& view) {
    nlohmann::json json = journal::to_json(view.finding);
    json["chassis"] = view.chassis;
    json["opened_by"] = view.opened_by;
    json["unrecorded"] = view.unrecorded;
    show_code(json, view.code);
    return json;
}

using SharedGate = desk::SharedView<desk::GateView>;

const Rendered& rendered(const desk::Shown<desk::GateView>& shown) {
    return shown.once([](const desk::GateView& view) {
        const EntityTag tag = revision_tag(view);
        const nlohmann::json json = to_json(view);
        return Rendered{tag, to_body(json), gate_line(view),
                        make_event(tag, to_line(json), view.revision, view.finding.retired)};
    });
}

/// FNV-1a over ids and revisions: the list has no revision of its own.
EntityTag tag_of_all(const std::vector<SharedGate>& views) {
    std::uint64_t hash = 14695981039346656037U;
    const auto add = [&](std::string_view text) {
        for (const char c : text)
            hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211U;
    };
    for (const SharedGate& view : views) {
        add(view->finding.id);
        add(" ");
        add(revision_tag(*view).opaque);
        add("\n");
    }
    return {std::to_string(hash), true};
}

Response no_such_gate(const Request& request, std::string_view id) {
    desk::Refusal refusal;
    refusal.kind = desk::Refusal::Kind::no_such_gate;
    refusal.problem.found = id;
    refusal.problem.remedy = "GET /v1/gates lists the gates there are.";
    return to_response(to_problem(refusal), request.path);
}

ProblemDetails bad_member(std::string_view name, std::string_view found, std::string expected,
                          std::string remedy) {
    ProblemDetails problem;
    problem.status = 422;
    problem.kind = "bad-member";
    problem.detail = "A member of the body is wrong.";
    problem.field = name;
    problem.found = found;
    problem.expected = std::move(expected);
    problem.remedy = std::move(remedy);
    return problem;
}

/// The duration of a member; the problem if it stands there and is none.
tl::expected<std::optional<units::Duration>, ProblemDetails>
duration_of(const std::map<std::string, std::string>& members, const std::string& name) {
    const auto found = members.find(name);
    if (found == members.end())
        return std::nullopt;
    const auto duration = units::parse_duration(found->second);
    if (!duration || *duration <= units::Duration::zero())
        return tl::unexpected{bad_member(
            name, found->second, "a duration above zero, such as \"30 s\" or \"1 h 30 min\"",
            "Units are ms, s, min, h and d; leave it out for the default.")};
    return duration;
}

tl::expected<desk::GateWish, ProblemDetails> wish_of(const Request& request) {
    static constexpr std::array<Known, 4> known{
        {{"chassis", true}, {"sentence", true}, {"gap"}, {"guard"}}};
    if (auto wrong = not_json(request))
        return tl::unexpected{std::move(*wrong)};
    auto key = idempotency_key(request);
    if (!key)
        return tl::unexpected{std::move(key).error()};
    auto members = read_strings(request.body, known);
    if (!members)
        return tl::unexpected{std::move(members).error()};
    const auto gap = duration_of(*members, "gap");
    if (!gap)
        return tl::unexpected{gap.error()};
    const auto guard = duration_of(*members, "guard");
    if (!guard)
        return tl::unexpected{guard.error()};
    desk::GateWish wish;
    wish.chassis = members->at("chassis");
    wish.sentence = members->at("sentence");
    wish.gap = *gap;
    wish.guard = *guard;
    wish.by = request.asker.name;
    wish.idempotency_key = std::move(*key);
    return wish;
}

std::string spaced(std::string_view word) {
    std::string words{word};
    std::ranges::replace(words, '_', ' ');
    return words;
}

} // namespace

std::string gate_line(const desk::GateView& view) {
    const witness::GateFinding& finding = view.finding;
    std::string line = finding.id + "  " + view.chassis + "  ";
    line += witness::to_word(finding.verdict);
    if (finding.failure)
        line.append(", ").append(spaced(witness::to_word(*finding.failure)));
    if (finding.standing)
        line.append(", now ").append(witness::to_word(*finding.standing));
    if (view.unrecorded)
        line += ", unrecorded";
    line += code_text(view.code);
    line += "  " + finding.sentence + "  because " + finding.because.text;
    if (finding.last_look)
        line += "  last look " + units::to_rfc3339(finding.last_look->answered);
    return printable(line) + '\n';
}

Next get_gates(const Request& request, const Places&, const desk::Desk& desk) {
    std::vector<SharedGate> views = desk.gates();
    const auto range = paged(request, views, [](const auto& view) { return view->finding.id; });
    if (!range)
        return to_response(range.error(), request.path);
    const auto make_json = [&] {
        nlohmann::json gates = nlohmann::json::array();
        for (const SharedGate& view : views)
            gates.push_back(to_json(*view));
        return to_body(listed("gates", std::move(gates), *range));
    };
    const auto make_text = [&] {
        std::string text;
        for (const SharedGate& view : views)
            text += gate_line(*view);
        return text + more_line(*range);
    };
    Response response = conditional(request, tag_of_all(views), make_json, make_text);
    add_link(response, *range);
    return response;
}

Response gate_shown(const Request& request, std::string_view id, const desk::Desk& desk) {
    const auto view = desk.gate(id);
    return view ? conditional(request, rendered(*view)) : no_such_gate(request, id);
}

Next get_gate(const Request& request, const Places& places, const desk::Desk& desk) {
    const std::string& id = places.front();
    const auto view = desk.gate(id);
    if (!view)
        return no_such_gate(request, id);
    Response now_shown = conditional(request, rendered(*view));
    const auto wait = preferred_wait(request);
    if (!wait)
        return now_shown;
    return shown_or_awaited(request, std::move(now_shown),
                            {AwaitChange::Of::gate, id, std::nullopt, desk.now() + *wait},
                            view->revision, view->finding.verdict != witness::Verdict::pending);
}

Next get_gate_changes(const Request& request, const Places& places, const desk::Desk& desk) {
    return follow(request, AwaitChange::Of::gate, places.front(), desk);
}

SharedEvent gate_event(const SharedGate& view) {
    return event_of(view, rendered(*view));
}

Next post_gate(const Request& request, const Places&, const desk::Desk&) {
    auto wish = wish_of(request);
    if (wish)
        return OpenGate{std::move(*wish)};
    return refused_body(request, wish.error());
}

Next delete_gate(const Request& request, const Places& places, const desk::Desk& desk) {
    const std::string& id = places.front();
    const auto view = desk.gate(id);
    if (!view)
        return no_such_gate(request, id);
    const EntityTag tag = revision_tag(*view);
    if (evaluate(request, tag) != Precondition::go_on)
        return precondition_failed(request, tag);
    return CloseGate{id, request.asker.name};
}

namespace {

Response done_response(const Request& request, const GateDone& done, units::Instant now,
                       int status) {
    if (!done)
        return to_response(to_problem(done.error()), request.path);
    const desk::GateView view = desk::as_of(*done, now);
    Response response;
    response.status = status;
    response.fields = {{"Content-Type", std::string{json_type}},
                       {"ETag", to_text(revision_tag(view))}};
    response.body = to_body(to_json(view));
    return response;
}

} // namespace

Response gate_opened(const Request& request, const GateDone& done, units::Instant now) {
    Response response = done_response(request, done, now, 201);
    if (done) // RFC 9110 §15.3.2
        response.fields.push_back({"Location", "/v1/gates/" + percent_encoded(done->finding.id)});
    return response;
}

Response gate_closed(const Request& request, const GateDone& done, units::Instant now) {
    return done_response(request, done, now, 200);
}

} // namespace slotwitness::api
