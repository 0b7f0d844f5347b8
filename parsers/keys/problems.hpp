#pragma once

#include "file.hpp"

#include <slotwitness/state/problem.hpp>

#include <toml++/toml.h>

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// What is wrong with a file of keys, in the words of whoever wrote it. Only .cpp files and headers
/// that stay inside a room include this room: toml++ is large.
namespace slotwitness::keys {

/// Collects what is wrong with a document, which may stand in several files. toml++ counts columns
/// in code points; problems count bytes.
class Problems {
  public:
    /// `files` outlive it; the first is named where a place is in none of them.
    explicit Problems(std::span<const File> files);

    void add(const toml::source_region& at, std::string found, std::string expected,
             std::string remedy);
    void add(const toml::node& at, std::string found, std::string expected, std::string remedy) {
        add(at.source(), std::move(found), std::move(expected), std::move(remedy));
    }
    [[nodiscard]] bool empty() const { return found_.empty(); }
    /// In the order of the text.
    [[nodiscard]] std::vector<state::Problem> take() &&;

  private:
    std::span<const File> files_;
    std::vector<state::Problem> found_;
};

/// The document, each value with the place where it stands. Nothing where the text is not TOML: the
/// problem is added.
[[nodiscard]] std::optional<toml::table> parse(const File& file, Problems& problems);

/// The known word that `text` was probably meant to be, if one is near.
[[nodiscard]] std::optional<std::string> nearest(std::string_view text,
                                                 const std::vector<std::string>& known);
/// "one of a, b, c"
[[nodiscard]] std::string one_of(const std::vector<std::string>& words);
/// "Write \"near\"." if a known word is near, else `otherwise`.
[[nodiscard]] std::string did_you_mean(std::string_view text, const std::vector<std::string>& known,
                                       std::string otherwise);

/// The text of a scalar as found, for problems: "3", "true", "a table".
[[nodiscard]] std::string shown(const toml::node& node);

/// Lower-case letters, digits and "-", from a letter: what names the tables of a file.
[[nodiscard]] bool is_id(std::string_view text);
/// Adds a problem where the key of a table is not an id; true if it is one.
bool check_id(const toml::key& key, std::string_view what, Problems& problems);

} // namespace slotwitness::keys
