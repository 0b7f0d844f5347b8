#include "page.hpp"

#include <algorithm>
#include <charconv>

namespace slotwitness::api {

namespace {

ProblemDetails bad_query(std::string found, std::string expected, std::string remedy) {
    ProblemDetails problem;
    problem.status = 400;
    problem.kind = "bad-query";
    problem.detail = "The query is wrong.";
    problem.found = std::move(found);
    problem.expected = std::move(expected);
    problem.remedy = std::move(remedy);
    return problem;
}

} // namespace

tl::expected<Page, ProblemDetails> page_of(const Request& request) {
    Page page;
    std::string_view rest = request.query;
    bool has_limit = false;
    while (!rest.empty()) {
        const std::string_view one = rest.substr(0, rest.find('&'));
        rest.remove_prefix(std::min(one.size() + 1, rest.size()));
        const auto equals = std::min(one.find('='), one.size());
        const std::string_view name = one.substr(0, equals);
        const auto value = percent_decoded(one.substr(std::min(equals + 1, one.size())));
        const auto refused = [&](std::string expected) {
            return tl::unexpected{bad_query(std::string{one}, std::move(expected),
                                            "Leave the query out for the newest page.")};
        };
        if (!value)
            return refused("two hex digits after each %");
        if (name == "after" && page.after.empty() && !value->empty()) {
            page.after = *value;
        } else if (name == "limit" && !has_limit) {
            const char* const end = value->data() + value->size();
            const auto [stop, error] = std::from_chars(value->data(), end, page.limit);
            if (error != std::errc() || stop != end || page.limit == 0 || page.limit > longest_page)
                return refused("limit=1 to " + std::to_string(longest_page));
            has_limit = true;
        } else {
            return refused("limit and after, each once");
        }
    }
    return page;
}

tl::expected<Range, ProblemDetails> range_of(const Page& page, std::span<const std::string> ids,
                                             std::string_view path) {
    Range range;
    if (!page.after.empty()) {
        const auto last = std::ranges::find(ids, page.after);
        if (last == ids.end())
            return tl::unexpected{bad_query("after=" + page.after, "an id of this list",
                                            "Begin again from the newest page.")};
        range.begin = static_cast<std::size_t>(last - ids.begin()) + 1;
    }
    range.end = std::min(ids.size(), range.begin + page.limit);
    if (range.end < ids.size())
        range.next = std::string{path} + "?limit=" + std::to_string(page.limit) +
                     "&after=" + percent_encoded(ids[range.end - 1]);
    return range;
}

nlohmann::json listed(const char* name, nlohmann::json members, const Range& range) {
    return {{name, std::move(members)},
            {"next", range.next.empty() ? nlohmann::json(nullptr) : nlohmann::json(range.next)}};
}

std::string more_line(const Range& range) {
    return range.next.empty() ? "" : "more: " + range.next + '\n';
}

void add_link(Response& response, const Range& range) {
    if (!range.next.empty())
        response.fields.push_back({"Link", "<" + range.next + ">; rel=\"next\""});
}

} // namespace slotwitness::api
