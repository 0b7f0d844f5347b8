#pragma once

#include "problem.hpp"

#include <nlohmann/json.hpp>
#include <tl/expected.hpp>

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// Long lists come in pages: "?limit=100&after=ID", newest first. A page begins after the one that
/// is named, so that what is opened meanwhile shifts nothing.
namespace slotwitness::api {

inline constexpr std::size_t usual_page = 100;
inline constexpr std::size_t longest_page = 1'000;

struct Page {
    std::size_t limit = usual_page;
    std::string after; ///< empty: from the newest
};
/// The page that the query asks for; the problem if it says anything else.
[[nodiscard]] tl::expected<Page, ProblemDetails> page_of(const Request& request);

/// Where in the ids of a whole list the page lies; the problem if `after` is none of them.
struct Range {
    std::size_t begin = 0, end = 0;
    std::string next; ///< path and query of the next page; empty on the last
};
[[nodiscard]] tl::expected<Range, ProblemDetails>
range_of(const Page& page, std::span<const std::string> ids, std::string_view path);

/// Cuts a list to the page that is asked for; `id_of` gives an element's id.
template <class View, class IdOf>
[[nodiscard]] tl::expected<Range, ProblemDetails>
paged(const Request& request, std::vector<View>& views, const IdOf& id_of) {
    const auto page = page_of(request);
    if (!page)
        return tl::unexpected{page.error()};
    std::vector<std::string> ids;
    for (const View& view : views)
        ids.push_back(id_of(view));
    auto range = range_of(*page, ids, request.path);
    if (range) {
        const auto at = [&](std::size_t index) {
            return views.begin() + static_cast<std::ptrdiff_t>(index);
        };
        views.erase(at(range->end), views.end());
        views.erase(views.begin(), at(range->begin));
    }
    return range;
}

/// The page as JSON; `next` is null on the last one.
[[nodiscard]] nlohmann::json listed(const char* name, nlohmann::json members, const Range& range);
/// The last line of a page of text, where there are more; else empty.
[[nodiscard]] std::string more_line(const Range& range);
/// RFC 8288: tells the next page.
void add_link(Response& response, const Range& range);

} // namespace slotwitness::api
