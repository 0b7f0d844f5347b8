#include "link.hpp"

namespace slotwitness::links {

std::string why_not_whole(const Answer& answer) {
    if (!answer.remark.empty())
        return answer.remark;
    if (!answer.ended)
        return "the answer has no end";
    if (!answer.exit_status)
        return "the device told no exit status";
    if (*answer.exit_status != 0)
        return "the device refused the query with exit status " +
               std::to_string(*answer.exit_status) +
               (answer.errors.empty() ? ""
                                      : ": " + answer.errors.substr(0, answer.errors.find('\n')));
    return "";
}

} // namespace slotwitness::links
