"""The rig that is right whatever the true prices are, as nearly as there is one."""
