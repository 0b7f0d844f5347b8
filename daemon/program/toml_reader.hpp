#pragma once

#include <slotwitness/state/problem.hpp>
#include <slotwitness/units/time.hpp>

#include <toml++/toml.h>

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::program {

/// One table of a TOML file, read key by key: each fault becomes a problem with its place, and what
/// nobody asked for is a problem in the end.
class TomlReader {
  public:
    TomlReader(const toml::table& table, std::string name, std::string file,
               std::vector<state::Problem>& problems)
        : table_(table), name_(std::move(name)), file_(std::move(file)), problems_(problems) {}

    [[nodiscard]] std::optional<std::string> text(std::string_view key);
    [[nodiscard]] std::string required_text(std::string_view key, std::string_view example);
    [[nodiscard]] std::optional<units::Duration> duration(std::string_view key); ///< > 0
    [[nodiscard]] std::optional<std::int64_t> number(std::string_view key, std::int64_t least,
                                                     std::int64_t most);
    [[nodiscard]] std::optional<std::vector<std::string>> texts(std::string_view key);
    [[nodiscard]] const toml::table* table(std::string_view key);
    [[nodiscard]] std::vector<const toml::table*>
    tables(std::string_view key); ///< `[[key]]`, each of them
    /// Reports keys that were not asked for.
    void finish();

    void problem(std::string_view key, std::string found, std::string expected, std::string remedy);

  private:
    [[nodiscard]] const toml::node* take(std::string_view key);

    const toml::table& table_;
    std::string name_; ///< as a person writes it: "[daemon]"
    std::string file_;
    std::vector<state::Problem>& problems_;
    std::set<std::string, std::less<>> asked_;
};

} // namespace slotwitness::program
