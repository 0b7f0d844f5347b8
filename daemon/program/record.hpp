#pragma once

#include <slotwitness/journal/store.hpp>

#include <tl/expected.hpp>

#include <memory>
#include <string>

namespace slotwitness::program {

/// What was recorded, to be read: a journal, or the folder of an evidence pack that holds one
/// chassis of it. On failure says so on the error stream; the error is the exit code.
[[nodiscard]] tl::expected<std::unique_ptr<journal::Store>, int>
open_record_or_say(const std::string& path);

} // namespace slotwitness::program
