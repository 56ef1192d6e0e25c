package android.app;

import android.content.Context;
import android.content.DialogInterface;
import fake.World;

public class AlertDialog {
    public static class Builder {
        private DialogInterface.OnClickListener yes;
        private DialogInterface.OnClickListener no;
        private DialogInterface.OnCancelListener back;

        public Builder(Context context) {}

        public Builder setMessage(CharSequence words) {
            World.log("say " + words);
            return this;
        }

        public Builder setMessage(int id) {
            return setMessage("string " + id);
        }

        public Builder setPositiveButton(int id, DialogInterface.OnClickListener pressed) {
            yes = pressed;
            return this;
        }

        public Builder setNegativeButton(int id, DialogInterface.OnClickListener pressed) {
            no = pressed;
            return this;
        }

        public Builder setOnCancelListener(DialogInterface.OnCancelListener cancelled) {
            back = cancelled;
            return this;
        }

        public Builder setCancelable(boolean can) {
            return this;
        }

        /** The operator presses at once what the world says. */
        public AlertDialog show() {
            if (World.presses == 1 && yes != null) {
                yes.onClick(null, -1);
            } else if (World.presses == 0 && no != null) {
                no.onClick(null, -2);
            } else if (World.presses == -1 && back != null) {
                back.onCancel(null);
            }
            return new AlertDialog();
        }
    }
}
