#include "shown.hpp"

#include "body.hpp"
#include "negotiation.hpp"

#include <slotwitness/readback/spelling.hpp>

#include <algorithm>
#include <array>

namespace slotwitness::api {

namespace {

constexpr std::array offers{json_type, text_type};

} // namespace

Response not_acceptable(const Request& request, std::string_view made) {
    ProblemDetails problem;
    problem.status = 406;
    problem.detail = "None of the media types in Accept is made here.";
    problem.field = "Accept";
    problem.found = request.field("Accept").value_or("");
    problem.expected = made;
    problem.remedy = "Leave Accept out for JSON.";
    return to_response(problem, request.path);
}

Response precondition_failed(const Request& request, const EntityTag& current) {
    ProblemDetails problem;
    problem.status = 412;
    problem.detail = "The condition of the request does not hold.";
    problem.field = request.field("If-Match") ? "If-Match" : "If-None-Match";
    problem.found = request.field(problem.field).value_or("");
    problem.expected = "a condition that holds for " + to_text(current);
    problem.remedy = "Read the resource again; If-Match compares strongly, and the tag is weak.";
    return to_response(problem, request.path);
}

Response unless_known(const Request& request, const EntityTag& tag,
                      const std::function<Content()>& make) {
    Response response;
    response.fields.reserve(8);
    switch (evaluate(request, tag)) {
    case Precondition::failed:
        return precondition_failed(request, tag);
    case Precondition::not_modified:
        response.status = 304;
        break;
    case Precondition::go_on:
        Content content = make();
        response.fields.push_back({"Content-Type", std::string{content.type}});
        response.body = std::move(content.body);
        break;
    }
    response.fields.push_back({"ETag", to_text(tag)});
    return response;
}

Response conditional(const Request& request, const EntityTag& tag,
                     const std::function<std::string()>& make_json,
                     const std::function<std::string()>& make_text) {
    const auto type = negotiate(request, offers);
    if (!type)
        return not_acceptable(request, "application/json or text/plain");
    const auto make = [&] {
        return *type == text_type ? Content{"text/plain; charset=utf-8", make_text()}
                                  : Content{json_type, make_json()};
    };
    Response response = unless_known(request, tag, make);
    if (response.status != 412)
        response.fields.push_back({"Vary", "Accept, Prefer"}); // with 304 too (RFC 9110 §15.4.5)
    return response;
}

Response conditional(const Request& request, const Rendered& rendered) {
    Response response = conditional(
        request, rendered.tag, [&] { return rendered.body; }, [&] { return rendered.line; });
    if (const auto wait = preferred_wait(request)) // RFC 7240 §3
        response.fields.push_back({"Preference-Applied", "wait=" + std::to_string(wait->count())});
    return response;
}

Next shown_or_awaited(const Request& request, Response shown, AwaitChange change,
                      std::uint64_t revision, bool is_over) {
    if (shown.status == 304)
        change.seen = revision;
    else if (shown.status != 200 || request.field("If-None-Match") || is_over)
        return shown;
    return change;
}

tl::expected<std::string, ProblemDetails> idempotency_key(const Request& request) {
    const auto value = request.field("Idempotency-Key");
    if (!value)
        return std::string{};
    std::string_view key = trimmed(*value);
    if (key.size() >= 2 && key.starts_with('"') && key.ends_with('"'))
        key = key.substr(1, key.size() - 2);
    const bool plain = std::ranges::all_of(
        key, [](char c) { return c > ' ' && c <= '~' && c != '"' && c != '\\'; });
    if (key.empty() || key.size() > 128 || !plain || request.count("Idempotency-Key") > 1) {
        ProblemDetails problem;
        problem.status = 400;
        problem.kind = "bad-field";
        problem.detail = "A header field is wrong.";
        problem.field = "Idempotency-Key";
        problem.found = *value;
        problem.expected = "one string of 1 to 128 visible ASCII characters in double quotes";
        problem.remedy = "A UUID serves well.";
        return tl::unexpected{std::move(problem)};
    }
    return request.asker.token.empty() ? std::string{key}
                                       : request.asker.token + '/' + std::string{key};
}

void show_code(nlohmann::json& out, const std::string& code) {
    out["code"] = code.empty() ? nlohmann::json(nullptr) : nlohmann::json(code);
    out["code_spelled"] =
        code.empty() ? nlohmann::json(nullptr) : nlohmann::json(readback::spelled(code));
}

std::string code_text(const std::string& code) {
    return code.empty() ? "" : "  code " + readback::shown(code);
}

std::string printable(std::string_view text) {
    std::string clean;
    for (std::size_t at = 0; at < text.size(); ++at) {
        const auto byte = static_cast<unsigned char>(text[at]);
        const bool c1 =
            byte == 0xC2 && at + 1 < text.size() && static_cast<unsigned char>(text[at + 1]) < 0xA0;
        if (c1)
            ++at;
        clean += byte < 0x20 || byte == 0x7F || c1 ? '?' : text[at];
    }
    return clean;
}

} // namespace slotwitness::api
