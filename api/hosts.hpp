#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::api {

/// The names by which this server may be called. A web page elsewhere can point a name of its own
/// at 127.0.0.1 (DNS rebinding), but cannot make a browser send another Host than that name.
class Hosts {
  public:
    /// An address that is listened on, as text.
    void add(std::string address);
    /// A name by which people reach it, as the configuration says.
    void add_name(std::string name);

    /// `authority` is the value of Host: a loopback name or literal, an added address or name, with
    /// any port (a forwarded port is another one) or none.
    [[nodiscard]] bool accept(std::string_view authority) const;
    /// For a person: "localhost, 127.0.0.1, [::1]".
    [[nodiscard]] std::string to_text() const;

  private:
    [[nodiscard]] bool goes_by(std::string_view authority) const;

    std::vector<std::string> addresses_;
    std::vector<std::string> names_;
    mutable std::string accepted_; ///< the newest that was: mostly the next is the same
};

} // namespace slotwitness::api
