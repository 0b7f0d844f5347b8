#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

/// The ustar interchange format of POSIX (IEEE Std 1003.1, pax), as far as plain files need it.
namespace slotwitness::pack::tar {

/// What stands before a file's bytes. `name` has at most 100 bytes, `size` is below 8 GB.
[[nodiscard]] std::string header(std::string_view name, std::uint64_t size, std::int64_t seconds);
/// What stands behind them, so that the next header begins at a whole block.
[[nodiscard]] std::string padding(std::uint64_t size);
/// What stands behind the last file.
[[nodiscard]] std::string end();

} // namespace slotwitness::pack::tar
