#pragma once

#include <slotwitness/journal/store.hpp>

#include <filesystem>

namespace slotwitness::pack {

/// The folder of a pack that holds a chain as recorded (chain_stream.hpp), to be read as the
/// journal that it came from. Every file is verified when it is read; the error names it.
[[nodiscard]] tl::expected<std::unique_ptr<journal::Store>, journal::StoreError>
open_chain(const std::filesystem::path& folder);

} // namespace slotwitness::pack
