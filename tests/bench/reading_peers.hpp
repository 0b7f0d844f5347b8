#pragma once

#include <slotwitness/state/reading.hpp>

#include <array>
#include <cstddef>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::bench {

/// A row's five cells: name, drive, condition, load, serial.
using CellTexts = std::array<std::string_view, 5>;

/// A regular expression with captures, compiled once.
class Peer {
  public:
    virtual ~Peer() = default;
    [[nodiscard]] virtual std::string name() const = 0;
    /// Cuts a line into its cells; false where it is none of a row.
    virtual bool cut(std::string_view line, CellTexts& cells) = 0;
};

/// RE2, RE2 with four groups, PCRE2 with JIT, std::regex.
[[nodiscard]] std::vector<std::unique_ptr<Peer>> peers();

/// The same job as `profiles::read` for these answers: each line cut by the peer, its words
/// looked up, its quantity parsed, the row with places and text kept.
[[nodiscard]] state::Reading read_by(Peer& peer, std::string_view answer, std::size_t lines_before);

/// The least that any reader must do: find the line ends. How many there are.
[[nodiscard]] std::size_t count_lines(std::string_view answer);

} // namespace slotwitness::bench
