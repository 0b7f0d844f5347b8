#pragma once

#include "profile.hpp"

#include <slotwitness/state/problem.hpp>
#include <slotwitness/units/time.hpp>

#include <toml++/toml.h>

#include <cstddef>
#include <cstdint>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

/// Reading TOML tables of the schema. Only the .cpp files of this room include it.
namespace slotwitness::profiles {

/// Collects what is wrong with a profile, which may stand in several files. toml++ counts columns
/// in code points; problems count bytes.
class Problems {
  public:
    /// `files` outlive it; the first is named where a place is in none of them.
    explicit Problems(std::span<const ProfileFile> files);

    void add(const toml::source_region& at, std::string found, std::string expected,
             std::string remedy);
    void add(const toml::node& at, std::string found, std::string expected, std::string remedy) {
        add(at.source(), std::move(found), std::move(expected), std::move(remedy));
    }
    [[nodiscard]] bool empty() const { return found_.empty(); }
    /// In the order of the text.
    [[nodiscard]] std::vector<state::Problem> take() &&;

  private:
    std::span<const ProfileFile> files_;
    std::vector<state::Problem> found_;
};

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

/// One table, read key by key. A value of the wrong type or outside its bounds is a problem and
/// reads as missing; `finish` makes every key that was never asked for a problem.
class Fields {
  public:
    /// `path` as it stands in the file: "[query.planes.table]".
    Fields(const toml::table& table, std::string path, Problems& problems)
        : table_(table), path_(std::move(path)), problems_(problems) {}

    [[nodiscard]] const toml::node* node(std::string_view key);
    [[nodiscard]] std::optional<std::string> text(std::string_view key);
    [[nodiscard]] std::optional<bool> truth(std::string_view key);
    [[nodiscard]] std::optional<std::int64_t> integer(std::string_view key, std::int64_t least,
                                                      std::int64_t most);
    [[nodiscard]] std::optional<units::Duration>
    duration(std::string_view key, units::Duration least, units::Duration most);
    /// "1 MB", "64 KB", "64 KiB", 65536
    [[nodiscard]] std::optional<std::size_t> size(std::string_view key, std::size_t least,
                                                  std::size_t most);
    [[nodiscard]] std::vector<std::string> texts(std::string_view key);
    [[nodiscard]] const toml::table* table(std::string_view key);
    /// The value of `key` must be one of `words`; its place in them.
    [[nodiscard]] std::optional<std::size_t> word(std::string_view key,
                                                  const std::vector<std::string>& words);

    /// `key` has to be there: a problem with an example line as its remedy if it is not.
    void require(std::string_view key, std::string_view example);
    void wrong(std::string_view key, std::string found, std::string expected, std::string remedy);
    void finish();

    [[nodiscard]] const toml::table& source() const { return table_; }
    [[nodiscard]] const std::string& path() const { return path_; }
    [[nodiscard]] Problems& problems() { return problems_; }

  private:
    void wrong_type(std::string_view key, const toml::node& value, std::string_view expected,
                    std::string_view example);

    const toml::table& table_;
    std::string path_;
    Problems& problems_;
    std::set<std::string, std::less<>> known_;
};

} // namespace slotwitness::profiles
