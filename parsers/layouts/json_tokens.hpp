#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

/// nlohmann_json's SAX reader behind a plain function, with the place of every token.
namespace slotwitness::layouts {

/// Bounds of a JSON answer. What exceeds them is unread.
inline constexpr std::size_t deepest_json = 64; ///< arrays and objects inside each other
/// Members of one object, elements of one array: what an answer of a few MiB can hold of rows.
inline constexpr std::size_t most_json_members = 64 * 1024;

/// Told of each token in the order of the text; `begin` and `end` are offsets of its bytes.
class JsonVisitor {
  public:
    enum class Scalar { text, number, word };

    virtual ~JsonVisitor() = default;
    virtual void open(bool is_object, std::size_t begin) = 0;
    virtual void close(std::size_t end) = 0;
    /// A member's name, escapes undone.
    virtual void name(std::string& name, std::size_t begin, std::size_t end) = 0;
    /// A string with its escapes undone, a number as it is written, "true", "false", or "" for
    /// null.
    virtual void scalar(Scalar kind, std::string_view value, std::size_t begin,
                        std::size_t end) = 0;
};

/// Where the text is no longer JSON (RFC 8259) or passes a bound, and what could stand there.
struct JsonStop {
    std::size_t at = 0;
    std::string expected;
};

/// Nothing if the text is one JSON document and white space. A number that ends with the text is
/// told only where `ended` and the number is the document: otherwise it may go on.
[[nodiscard]] std::optional<JsonStop> visit_json(std::string_view text, bool ended,
                                                 JsonVisitor& visitor);

} // namespace slotwitness::layouts
