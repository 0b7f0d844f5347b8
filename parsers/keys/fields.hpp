#pragma once

#include "problems.hpp"

#include <slotwitness/units/time.hpp>

#include <cstddef>
#include <cstdint>
#include <set>

/// Reading TOML tables of a schema, key by key.
namespace slotwitness::keys {

/// One table, read key by key. A value of the wrong type or outside its bounds is a problem and
/// reads as missing; `finish` makes every key that was never asked for a problem.
class Fields {
  public:
    /// `path` as it stands in the file: "[query.planes.table]".
    Fields(const toml::table& table, std::string path, Problems& problems)
        : table_(table), path_(std::move(path)), problems_(problems) {}

    [[nodiscard]] const toml::node* node(std::string_view key);
    [[nodiscard]] std::optional<std::string> text(std::string_view key);
    /// Has to be there, and to hold something; "" after a problem.
    [[nodiscard]] std::string required_text(std::string_view key, std::string_view example);
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
    /// `[[key]]`, each of them.
    [[nodiscard]] std::vector<const toml::table*> tables(std::string_view key);
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

} // namespace slotwitness::keys
