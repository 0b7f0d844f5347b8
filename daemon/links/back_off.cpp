#include "link.hpp"
