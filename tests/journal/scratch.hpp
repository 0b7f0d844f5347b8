#pragma once

#include "../twins/folder.hpp"

namespace slotwitness::journal::test {

/// A folder for journals.
class Scratch : public twins::Folder {
  public:
    Scratch() : Folder(memory()) {}
    [[nodiscard]] std::string file(const std::string& name = "journal.db") const {
        return Folder::file(name);
    }
};

} // namespace slotwitness::journal::test
