#pragma once

#include "faults.hpp"
#include "model.hpp"
#include "orders.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::chassis {

/// One chassis with its tables and its faults. Times are virtual and never go back.
class Device {
  public:
    /// The tables are renewed at each whole multiple of `refresh` > 0.
    Device(Fitting fitting, Time refresh);

    [[nodiscard]] const std::string& name() const { return name_; }

    [[nodiscard]] Delivery ask(std::string_view command, Time now);

    /// What an order came to, as one line of JSON without its line end:
    /// {"done":true}, {"done":false,"error":…} or, for a line that it could not read, with column,
    /// found and expected beside it.
    struct Obeyed {
        std::string reply;
        bool drops_sessions = false; ///< every session of this chassis is to be dropped now
        std::string remark{};        ///< what it says unasked now, in all its shells
    };
    [[nodiscard]] Obeyed obey(std::string_view line, Time now);

    /// Whether the next key is to be refused, the next connection to meet another host key.
    [[nodiscard]] bool refuses_auth();
    [[nodiscard]] bool changes_host_key();

  private:
    void advance(Time now);
    [[nodiscard]] bool take(Fault::Kind kind);
    [[nodiscard]] std::vector<Fault> take_for_answer();

    std::string name_;
    Time refresh_;
    Model model_;
    Snapshot renewed_;
    std::vector<Fault> faults_;
};

} // namespace slotwitness::chassis
