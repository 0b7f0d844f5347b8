#pragma once

#include <string>

namespace slotwitness::keys {

/// A text of keys that a person wrote, and what it is called in problems.
struct File {
    std::string name;
    std::string text;
};

} // namespace slotwitness::keys
